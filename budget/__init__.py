"""A year-round water budget for a home on a shallow dug well with a storage tank.

A site file (`budget.site_file`) and a rain record (`budget.record`) go in; one workbook comes out whose own formulas
are the model. The nouns of the model stand in `budget.water`, each with its inputs and formulas; `budget.workbook`
applies them along months, zones and years and writes the file; `budget.build` runs it all.
"""

__version__ = "0.1.0"
