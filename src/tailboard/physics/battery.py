"""How long a battery lasts under a load."""

from __future__ import annotations

import math


def lasting_min(energy_wh: float, load_w: float) -> float:
    """Return how long the energy of a battery lasts under a steady load; infinite without a load. [min]

        60 W / P

    Source: arithmetic, a watt-hour is a watt for 60 min. A battery gives less the faster it is emptied, so the energy
        is that of a discharge of about the same length.
    >>> lasting_min(120.0, 480.0)
    15.0
    """
    return 60 * energy_wh / load_w if load_w > 0 else math.inf
