"""How much water the house must find in the tank, and how large a tank a year needed.

A month is two steps in a known order: what is spare before the lack and what comes after it stand apart from the lack.
"""

from dataclasses import dataclass

import numpy as np

from .site import Columns


@dataclass
class Steps:
    """Each row's water in the order of time [L]: spare before the lack, the lack, spare after it."""

    spare_before: np.ndarray
    lack: np.ndarray
    spare_after: np.ndarray


def one_step(net: np.ndarray) -> Steps:
    """Rows that either lack water (above 0) or have it to spare, as days do and the months of a textbook."""
    return Steps(np.maximum(0.0, -net), np.maximum(0.0, net), np.zeros(len(net)))


def house_steps(rows: Columns, well_counts: np.ndarray | float = 1.0) -> Steps:
    """What the house lacks and the well and the roof can spare, in service [L].

    The roof's water meets the lack; what it brings beyond that is spare before everything. The well's spare water comes
    after the lack where the yield rises. `well_counts`: 0 in the rows whose spare water of the well is left out.
    """
    unmet = rows["service_share"] * (rows["house_need"] - rows["house_from_well"])
    spare = well_counts * rows["service_share"] * (rows["well_yield"] - rows["house_from_well"])
    over = np.maximum(0.0, rows["roof_to_house"] - unmet)
    rises = rows["rises"] == 1
    return Steps(
        over + np.where(rises, 0.0, spare),
        np.maximum(0.0, unmet - rows["roof_to_house"]),
        np.where(rises, spare, 0.0),
    )


def with_garden(rows: Columns, house: Steps) -> Steps:
    """The same where the garden takes what it still wants, in service, out of all the spare water of the month first.

    It takes the roof's before the well's; what it leaves comes when it came for the house alone, so that a garden which
    wants nothing changes nothing.
    """
    wanted = rows["service_share"] * rows["garden_left"]
    net = house.lack + wanted - house.spare_before - house.spare_after
    lack = np.maximum(house.lack, net)
    spare = lack - net
    later = np.minimum(spare, house.spare_after)
    return Steps(spare - later, lack, later)


def required_levels(
    steps: Steps, in_service: np.ndarray, cut_after: np.ndarray, reserve: float, usable: float
) -> np.ndarray:
    """Level [L] needed on each row's first day in service, backwards (rule curve).

    `cut_after`: 1 where nothing is asked of the row's end (the tank is drained, or the plan year ends). A lack adds to
    max(level after, reserve), at most `usable`; what is spare takes away.
    """
    level = np.zeros(len(steps.lack))
    after = 0.0
    for t in reversed(range(len(level))):
        if cut_after[t] or not in_service[t]:
            after = 0.0
        if in_service[t]:
            after = max(0.0, after - steps.spare_after[t])
            if steps.lack[t] > 0:
                after = min(usable, max(after, reserve) + steps.lack[t])
            after = max(0.0, after - steps.spare_before[t])
        level[t] = after
    return level


def sequent_peak(steps: Steps, in_service: np.ndarray, restarts: np.ndarray) -> np.ndarray:
    """Storage needed so far [L]: K = max(0, K before + net), Loucks and van Beek, Water Resource Systems ch. 11.

    Along the steps, each row telling its highest: after the lack. 0 out of service; nothing is carried into a row where
    `restarts`.
    """
    needed = np.zeros(len(steps.lack))
    carried = 0.0
    for t in range(len(needed)):
        if restarts[t] or not in_service[t]:
            carried = 0.0
        if in_service[t]:
            carried = max(0.0, carried - steps.spare_before[t]) + steps.lack[t]
            needed[t] = carried
            carried = max(0.0, carried - steps.spare_after[t])
    return needed
