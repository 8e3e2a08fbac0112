"""The site file: what a family writes down about its place, in TOML, read and checked against the declarations.

    units = "US"                      the units of the book; each quantity may be given in whatever unit was measured

    [well]
    bore = "36 in"                    the input `well_bore`: section and key are its name, split at the first underscore

    [[household]]                     one line of a list; its keys are the names of the list's inputs
    use = "overnight guest"
    number = 2
    factors = [0, 0, 0, 0, 0, 1, 1, 1, 0, 0, 0, 0]        January to December

The inputs that the nouns declare are the schema: names, kinds, bounds, choices and defaults stand there alone. All
faults of a file are found in one reading and told in the order of the file, each with what would be accepted.

    schema      what may stand in a file          values      from its texts to values of the book, or why not
    words       how faults are worded             document    the TOML itself
    reading     the pass over a file: read_site   site        what comes out

How inputs must stand to each other is not judged here but by the checks of the book.
"""
