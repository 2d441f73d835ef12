"""The isolation of a large network: 200 switches, 40 VLANs, every pair of VLANs kept apart."""

from __future__ import annotations

import random
import statistics
import time

from bench.measured import Figure

from support.syntheticswitches import switches_show
from tailboard.answers.ask import Ask
from tailboard.rules.network import vlan_reaches_forbidden

SEED = 1  # one generated network, the same in every run
REPETITIONS = 5
LIMIT_S = 0.5  # issue: figures


def isolated() -> list[Figure]:
    """Return how long the verdict on every pair of VLANs takes, the graph included."""
    model = switches_show(random.Random(SEED)).read().model
    taken_s = []
    for _ in range(REPETITIONS):
        start = time.perf_counter()
        claims = list(vlan_reaches_forbidden.examine(Ask(model)))
        taken_s.append(time.perf_counter() - start)
    return [
        Figure("200 switches, 40 VLANs: isolation, median", 1e3 * statistics.median(taken_s), "ms", 1e3 * LIMIT_S),
        Figure("200 switches, 40 VLANs: pairs judged", len(claims), "claims"),
    ]
