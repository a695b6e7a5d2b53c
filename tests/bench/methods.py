"""How long it takes to compare every way of building a board: `python -m tests.bench.methods`.

Once at the number of boards asked for and without remedies, and once as the page has it: five numbers, remedies told.
"""

from __future__ import annotations

import random
import statistics
import time
from dataclasses import replace

from planner.hours import DEFAULT_TIMES
from planner.measures import Length
from planner.methods import COPIES, Maker, compare
from planner.pattern import Pattern
from planner.pricing import Rates
from tests.bench.planner_steps import OFFERS, SHOP, SPEC

WOODS = ("sycamore", "walnut-black", "birch-yellow", "padauk", "sapele")


def noise(side: int) -> Pattern:
    """No row is like another: the worst for panels."""
    rng = random.Random(side)
    inside = range(1, side - 1)
    return Pattern.of(
        [
            [rng.choice(WOODS) if row in inside and column in inside else None for column in range(side)]
            for row in range(side)
        ]
    )


def main() -> None:
    maker = Maker(SHOP, OFFERS, DEFAULT_TIMES, Rates())
    spec = replace(SPEC, pitch=Length.of_mm(15))
    print(f"{'side':>6}{'as asked':>12}{'every number':>16}  ms of one core")
    for side in (16, 32, 64):
        picture, taken = noise(side), []
        for also, remedies in (((), False), (COPIES, True)):
            times = []
            for _ in range(7):
                begun = time.process_time()
                compare(picture, spec, maker, also=also, remedies=remedies)
                times.append(1000 * (time.process_time() - begun))
            taken.append(statistics.median(times))
        print(f"{side:>6}{taken[0]:>12.0f}{taken[1]:>16.0f}")


if __name__ == "__main__":
    main()
