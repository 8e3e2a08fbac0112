"""How much water the house must find in the tank, and how large a tank a year needed."""

import numpy as np


def required_levels(
    net: np.ndarray,
    in_service: np.ndarray,
    cut_after: np.ndarray,
    reserve: float,
    usable: float,
) -> np.ndarray:
    """Level [L] needed on each month's first day in service, backwards (rule curve).

    `net`: need less what comes in of itself, in service [L]; `cut_after`: 1 where nothing is asked of the month's end
    (the tank is drained, or the plan year ends). A deficit adds to max(level after, reserve); a surplus takes away. At
    most `usable`, cut within the recursion.
    """
    level = np.zeros(len(net))
    after = 0.0
    for t in reversed(range(len(net))):
        if cut_after[t]:
            after = 0.0
        if not in_service[t]:
            after = 0.0
        elif net[t] > 0:
            after = min(usable, max(after, reserve) + net[t])
        else:
            after = max(0.0, after + net[t])
        level[t] = after
    return level


def sequent_peak(net: np.ndarray, in_service: np.ndarray, restarts: np.ndarray) -> np.ndarray:
    """Storage needed so far [L]: K = max(0, K before + net), Loucks and van Beek, Water Resource Systems ch. 11.

    0 out of service; nothing is carried into a month where `restarts`.
    """
    needed = np.zeros(len(net))
    carried = 0.0
    for t in range(len(net)):
        if restarts[t]:
            carried = 0.0
        carried = max(0.0, carried + net[t]) if in_service[t] else 0.0
        needed[t] = carried
    return needed
