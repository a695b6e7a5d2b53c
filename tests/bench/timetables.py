"""How early glue-ups are done and how long finding it takes: `python -m tests.bench.timetables [--seconds 10]`.

Beside each finish stand the plain rule's (one board after another, every task as early as it can be) as a ratio, and
the floor. Several boards are looked for as many seconds as asked, one board for two.
"""

from __future__ import annotations

import argparse
import time

from planner.gluing import faults_of, find_timetable, floor_of
from planner.gluing.serial import scheme_of
from tests.support.glue_works import boards

CASES = [(side, 1, jigs, hands) for side in (8, 16, 24, 32) for jigs, hands in ((1, 1), (2, 1), (3, 2))] + [
    (side, count, jigs, 1) for side, count in ((8, 4), (16, 3), (24, 2), (32, 2), (32, 4)) for jigs in (1, 2, 3)
]


def main() -> None:
    seconds = argparse.ArgumentParser()
    seconds.add_argument("--seconds", type=float, default=10)
    most = seconds.parse_args().seconds
    print(
        f"{'side boards jigs hands':>24}{'finish':>8}{'floor':>8}{'held by':>12}{'over floor':>11}{'rule ×':>8}{'s':>7}"
    )
    for side, count, jigs, hands in CASES:
        work = boards(side, count, jigs, hands, weeks=12)
        begun, allowed = time.process_time(), 2 if count == 1 else most
        found = find_timetable(work, lambda b=begun, a=allowed: time.process_time() - b < a, steps=12_000)
        took = time.process_time() - begun
        assert faults_of(found, work) == ()
        floor, scheme = floor_of(work), scheme_of(work)
        plain = scheme.put_in(scheme.order_by(list(range(len(work.tasks)))))
        rule = max(start + task.span + task.rest for start, task in zip(plain, work.tasks, strict=True))
        print(
            f"{side:>8}{count:>5}{jigs:>5}{hands:>6}{found.finish:>8}{floor.finish:>8}{floor.what:>12}"
            f"{found.finish / floor.finish - 1:>11.1%}{rule / found.finish:>8.2f}{took:>7.2f}",
            flush=True,
        )


if __name__ == "__main__":
    main()
