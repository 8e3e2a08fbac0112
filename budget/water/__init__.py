"""The nouns of the water budget, each a module with its inputs and its columns.

In the order of the water: record → climate → evapotranspiration → snow → soil → water_table → well → pump →
household_demand, garden_demand (with effective_rain) → service → tank → rule_curve → kept_for_house → balance →
years_of_record → plan_months (with readings) → answers. A noun may name a noun upstream of it in a formula; it never
knows a sheet.
"""
