"""How well logged jobs tell the next one, over 2,000 makers who never were: `python -m tests.bench.hours`."""

from __future__ import annotations

import time

from planner.hours import learn
from tests.support.makers import maker, outcome

MAKERS = range(1_000_000, 1_002_000)


def main() -> None:
    print(f"{len(MAKERS)} makers; share of forecasts within 10 %, and of jobs the careful figure was enough for")
    print(f"{'jobs logged':>12}{'totals':>16}{'by operation':>18}")
    for jobs in (0, 1, 2, 3, 4, 6, 10):
        both = [outcome(MAKERS, jobs, way) for way in ("whole", "by_operation")]
        print(f"{jobs:>12}" + "".join(f"{one.within_tenth:>11.1%} {one.enough:.1%}" for one in both), flush=True)
    one = maker(7)
    log = [line for job in range(20) for line in one.whole(f"job {job}")]
    begun, fits = time.process_time(), 200
    for _ in range(fits):
        learn(log)
    print(f"fits of twenty jobs: {fits / (time.process_time() - begun):.0f} a second")


if __name__ == "__main__":
    main()
