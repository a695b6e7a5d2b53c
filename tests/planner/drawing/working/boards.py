"""Records of random boards of every method, rows lying and upright, in millimetres and inches, kept as JSON is kept."""

from __future__ import annotations

import json
import random
from fractions import Fraction
from functools import cache

from planner.build import METHODS, BoardSpec
from planner.drawing import MARKS, WoodLook
from planner.hours import DEFAULT_TIMES
from planner.measures import Length, format_length
from planner.pattern import Pattern
from planner.pricing import Rates, Terms
from planner.reckoning import reckon
from planner.record import to_record
from planner.shop import Shop
from tests.support.glue_boards import INKS, OFFERS, board_of

SEEDS = range(32)


@cache
def kept(seed: int) -> str:
    """As a plan keeps it. Every method comes eight times; upright rows, inches, several copies, boards without borders
    and pictures without background are among each."""
    rng = random.Random(f"laid {seed}")
    method, upright, inches = METHODS[seed % 4], bool(seed // 4 % 2), bool(seed // 8 % 2)
    height, width = rng.randint(1, 14), rng.randint(1, 18)
    if seed % 11 == 3:
        height, width = 40, 36
    framed = rng.random() < 0.6 and min(height, width) > 2
    blocky = rng.random() < 0.6
    cells = [[rng.choice((None, *INKS)) for _ in range(width)] for _ in range(height)]
    if blocky:
        for y in range(height):
            for x in range(width):
                cells[y][x] = cells[y // 3 * 3][x // 4 * 4]
    if framed:
        cells = [
            [None if y in (0, height - 1) or x in (0, width - 1) else cell for x, cell in enumerate(row)]
            for y, row in enumerate(cells)
        ]
    cells[height // 2][width // 2] = rng.choice(INKS)
    unit = Length.of_inches if inches else Length.of_mm
    sizes = ("1/2", "3/4", "1", "5/4") if inches else ("14", "20", "24.5", "31")
    if method == "panels":
        # Stock is 32 mm thick, and panels are as thick as their tiles are wide.
        sizes = sizes[:-2]
    border = unit(rng.choice(("3/4", "3/2") if inches else ("18", "42")))
    # A border at the rows' ends needs background there.
    ends = framed or method == "panels"
    return json.dumps(
        to_record(
            board_of(
                cells,
                method=method,
                along="columns" if upright else "rows",
                pitch=unit(rng.choice(sizes)),
                thickness=unit("3/4" if inches else "19"),
                side_border=border if ends and rng.random() < 0.8 else Length.ZERO,
                end_border=border if rng.random() < 0.7 else Length.ZERO,
                quantity=rng.choice((1, 1, 3)),
            )
        )
    )


def record_with(rows: list[list[str | None]], method: str = "runs", along: str = "rows", end_border: int = 25) -> dict:
    """A board of a given picture, tiles of 14 mm, in a shop that rips any length: for sizes out of the common."""
    mm = Length.of_mm
    spec = BoardSpec("wall", mm(14), mm(20), mm(0), mm(end_border), method, 1, "sycamore", along)
    shop = Shop(longest_rip=mm(9000))
    made = reckon(Pattern.of(rows), spec, shop, OFFERS, DEFAULT_TIMES, Rates(), Terms())
    return json.loads(json.dumps(to_record(made)))


@cache
def record_of(seed: int) -> dict:
    """Nobody writes in it."""
    return json.loads(kept(seed))


def unit_of(seed: int) -> str:
    return "in" if seed // 8 % 2 else "mm"


def looks_of(record: dict) -> dict[str, WoodLook]:
    marks = list(MARKS)
    return {
        wood["wood"]: WoodLook(wood["name"], tuple(wood["rgb"]), marks[n * 5 % len(marks)])
        for n, wood in enumerate(record["woods"])
    }


def says(mm: str | Fraction, unit: str) -> str:
    """As it is written on a drawing, blanks made single."""
    return format_length(Length(Fraction(mm)), unit, with_unit=False)
