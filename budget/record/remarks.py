"""What was found in the cells of a rain file and is no fault, counted and told in plain sentences."""

from __future__ import annotations

from dataclasses import dataclass, field

from budget.record.header import Header


@dataclass
class Counts:
    """What was found in the cells and is worth a sentence."""

    traces: int = 0
    estimates: int = 0
    rejected: int = 0
    forecasts: int = 0
    totals: int = 0
    crossing: int = 0  # totals that run over the end of a month
    left_out_dry: int = 0
    repeated: int = 0
    unknown_spans: int = 0  # rises of a running total over more days than a total may stand for
    resets: list[str] = field(default_factory=list)


def remarks(header: Header, counts: Counts) -> list[str]:
    """What was found in the cells, in plain sentences."""
    doubtful = "that the service marked as doubtful"
    told = [
        (counts.traces, "trace of rain counts 0", "traces of rain count 0"),
        (counts.estimates, "value is marked as estimated and kept", "values are marked as estimated and kept"),
        (counts.rejected, f"value {doubtful} is left out", f"values {doubtful} are left out"),
        (
            counts.forecasts,
            "value comes from a forecast and is left out",
            "values come from a forecast and are left out",
        ),
        (
            counts.totals,
            "total over several days stands on their last day",
            "totals over several days stand on their last day",
        ),
        (counts.crossing, "of them runs over the end of a month", "of them run over the end of a month"),
        (
            counts.left_out_dry,
            "day without a figure counts as dry, as the site file says",
            "days without a figure count as dry, as the site file says",
        ),
        (counts.repeated, "value that stands twice is taken once", "values that stand twice are taken once"),
        (len(counts.resets), "time the running total began anew", "times the running total began anew"),
        (
            counts.unknown_spans,
            "rise of the running total over more than a month is left out",
            "rises of the running total over more than a month each are left out",
        ),
    ]
    sentences = [f"{n} {one if n == 1 else many}." for n, one, many in told if n]
    return [*sentences, *([header.layout.note] if header.layout.note else [])]
