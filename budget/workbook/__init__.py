"""The workbook: templates become cell text, tables are applied along rows, sheets are laid out, values are computed.

`formulas` resolves templates, `applications` says which noun runs along which rows, `page` is the only writer of cells,
`book` gathers what is laid out and writes the formulas, `sheets` lays them out, `engine` evaluates, `finish` puts the
values beside the formulas and writes the file.
"""
