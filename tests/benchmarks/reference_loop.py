"""The yardstick of the benchmarks: plain work of the kinds that the kit does, timed in each run.

What a benchmark takes is told as a multiple of this loop, timed before and after it on
the same machine, so that one stored baseline serves machines of any speed.
"""

import json
import time
from collections.abc import Callable

import numpy as np

#: The loop is timed so often, and the least of it counts.
TIMES = 7
#: What it takes on a usual machine, s of the processor: the one that stored the baseline.
USUAL_S = 0.010

type Stretched = Callable[[float], float]
"""What a bar in seconds comes to on this machine."""


def loop() -> float:
    """Dictionaries, texts, sorting and small linear algebra; `USUAL_S` on a usual machine."""
    rows = [
        {"name": f"board-{n}", "size": (n * 37 % 1013) / 8, "stock": n % 7} for n in range(4000)
    ]
    rows.sort(key=lambda row: (row["stock"], row["size"]))
    sums: dict[object, float] = {}
    for row in rows:
        sums[row["stock"]] = sums.get(row["stock"], 0.0) + float(str(row["size"]))
    total = len(json.dumps(rows)) + sum(sums.values())
    matrix = np.eye(24) * 30.0 + np.arange(576.0).reshape(24, 24) % 11
    for _ in range(150):
        total += float(np.linalg.solve(matrix, matrix[0])[0])
    return total


def loop_s() -> float:
    """The least time of the loop, s of the processor."""
    best = float("inf")
    for _ in range(TIMES):
        start = time.process_time()
        loop()
        best = min(best, time.process_time() - start)
    return best
