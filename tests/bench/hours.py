"""How well logged jobs tell the next one, over 2,000 makers who never were: `python -m tests.bench.hours`."""

from __future__ import annotations

import time

import numpy as np

from planner.hours import learn
from tests.support.makers import Sort, maker, outcome, shifts

MAKERS = range(1_000_000, 1_002_000)
FEWER = range(2_000_000, 2_000_500)
SORTS = {
    "as above": Sort(),
    "twice as slow as the defaults": Sort(slow=2.0),
    "twice as quick": Sort(slow=0.5),
    "paces far apart": Sort(pace=0.6),
    "operations far apart": Sort(stray=0.5),
    "steady": Sort(day=0.05, each=0.10),
    "unsteady": Sort(day=0.15, each=0.30),
    "no timer forgotten": Sort(slips=0.0),
    "15 % of timers forgotten": Sort(slips=0.15),
    "small boards": Sort(squares=(4, 12)),
    "large boards": Sort(squares=(30, 65)),
    "batches of 4 to 10": Sort(copies=(4, 11)),
    "no borders, oil or stops": Sort(never=("strip", "oil_dm2", "stop_change")),
    "helped with half of the jobs": Sort(helped=0.5),
}


def main() -> None:
    print(f"{len(MAKERS)} makers; share of forecasts within 10 %, and of jobs the careful figure was enough for")
    print(f"{'jobs logged':>12}{'totals':>16}{'by operation':>18}")
    for jobs in (0, 1, 2, 3, 4, 6, 10):
        both = [outcome(MAKERS, jobs, way) for way in ("whole", "by_operation")]
        print(f"{jobs:>12}" + "".join(f"{one.within_tenth:>11.1%} {one.enough:.1%}" for one in both), flush=True)
    print(f"\nother sorts of makers, {len(FEWER)} of each; after 3 jobs by operation, and after 4 totals")
    for name, sort in SORTS.items():
        both = [outcome(FEWER, jobs, way, sort) for jobs, way in ((3, "by_operation"), (4, "whole"))]
        print(f"{name:>32}" + "".join(f"{one.within_tenth:>11.1%} {one.enough:.1%}" for one in both), flush=True)
    print("\none forgotten timer moves the forecast by, in the middle / 19 times in 20 / at most")
    for way in ("by_operation", "whole"):
        for jobs, slip, added in ((3, 2, True), (3, 2, False), (3, 10, False), (4, 2, False), (6, 2, False)):
            moved = shifts(FEWER, jobs, way, slip, added=added)
            said = f"{way}, {jobs} jobs{' and one more' if added else ''}, {slip} times too long"
            print(f"{said:>48}{np.median(moved):>8.1%}{np.quantile(moved, 0.95):>8.1%}{moved.max():>8.1%}", flush=True)
    one = maker(7)
    for way in ("whole", "by_operation"):
        log = [line for job in range(20) for line in getattr(one, way)(f"job {job}")]
        begun, fits = time.process_time(), 200
        for _ in range(fits):
            learn(log)
        print(f"fits of twenty jobs, {way}: {fits / (time.process_time() - begun):.0f} a second")


if __name__ == "__main__":
    main()
