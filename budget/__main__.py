"""`python -m budget` is the command `water-budget`."""

import sys

from budget.cli import main

if __name__ == "__main__":
    sys.exit(main())
