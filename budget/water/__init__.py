"""The nouns of the water budget, each a module with its inputs and its columns.

In the order of the water: record → climate → evapotranspiration → snow → soil → water_table → well → pump →
household_demand, garden_demand (with effective_rain) → service → tank → rule_curve → balance → years → plan_year →
answers. A noun may name a noun upstream of it in a formula; it never knows a sheet.
"""
