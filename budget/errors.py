"""What can go wrong, and the exit code that the command line gives it.

BudgetError
├── InputFaults        the input is wrong: one line per fault                    exit 1
│   └── OutputFault    the book could not be put where it was asked to go        exit 1
├── RainUnavailable    the rain could not be had                                 exit 3
└── ModelError         the package contradicts itself: a defect of the program   exit 1
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One fault of the input: where it stands, what was found there, what is accepted."""

    where: str
    found: str
    accepted: str

    def __str__(self) -> str:
        return f"{self.where}: {self.found}; accepted: {self.accepted}"


class BudgetError(Exception):
    """Any error that this package raises on purpose."""

    exit_code = 1


class InputFaults(BudgetError):
    """The input is wrong; `faults` holds every fault that was found, in the order of the file or of the checks."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


class OutputFault(InputFaults):
    """The book cannot be written where it was asked to go."""


class RainUnavailable(BudgetError):
    """The rain could not be had: what was tried, a line each, and what can be done about it."""

    exit_code = 3

    def __init__(self, tried: list[str], to_do: list[str]) -> None:
        super().__init__("\n".join([*tried, *(f"What to do: {text}" for text in to_do)]))
        self.tried, self.to_do = tried, to_do


class ModelError(BudgetError):
    """A formula names something unknown or ambiguous, or did not evaluate: a defect of the program."""
