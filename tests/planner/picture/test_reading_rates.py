"""The least that is read right of each kind of picture, on a small seeded sample; `python -m tests.bench.reading` gives
the rates on larger ones."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import pytest

from planner.picture import Lattice, PictureError, Reading, read_picture
from tests.pictures.degrade import KINDS, LOSSLESS, MAIN, Case, cases
from tests.pictures.judge import Verdict, judge

EACH = 5
SEED = 31
# Exact of five: all where nothing is lost, and of the rest one fewer than were read when this was written down. Of all
# eleven main kinds together 54 of 55 were read then, 50 of them for sure.
FLOORS = dict.fromkeys(KINDS, 4) | dict.fromkeys(LOSSLESS, 5) | {"jpeg": 3, "gradient": 3}
FLOOR_OF_ALL = 52
SURE_OF_ALL = 46


@cache
def readings(kind: str) -> tuple[tuple[Case, Reading | None], ...]:
    found = []
    for case in cases(kind, "dev", EACH, SEED):
        try:
            found.append((case, read_picture(case.data)))
        except PictureError:
            found.append((case, None))
    return tuple(found)


@cache
def verdicts(kind: str) -> tuple[Verdict, ...]:
    return tuple(judge(case, reading) for case, reading in readings(kind))


def of_all_main_kinds() -> list[Verdict]:
    return [verdict for kind in MAIN for verdict in verdicts(kind)]


@pytest.mark.parametrize("kind", KINDS)
def test_so_many_pictures_of_a_kind_are_read_exactly(kind):
    wrong = [verdict.why for verdict in verdicts(kind) if not verdict.exact]
    assert EACH - len(wrong) >= FLOORS[kind], wrong


def test_of_all_kinds_together_only_a_few_are_misread():
    assert sum(verdict.exact for verdict in of_all_main_kinds()) >= FLOOR_OF_ALL


def test_the_right_grid_is_nearly_always_among_those_offered():
    missing = [verdict.why for verdict in of_all_main_kinds() if not verdict.offered]
    assert len(missing) <= 1, missing


def test_a_reading_is_mostly_sure_and_then_nearly_always_right():
    sure = [verdict for verdict in of_all_main_kinds() if verdict.sure]
    assert len(sure) >= SURE_OF_ALL
    wrong = [verdict.why for verdict in sure if not verdict.exact]
    assert len(wrong) <= 2, wrong


def apart(one: Lattice, other: Lattice) -> bool:
    """Whether two grids have not the same cells, give or take a quarter of one."""
    counts = (one.rows, one.columns) != (other.rows, other.columns)
    off = [abs(a - b) for p, q in zip(one.corners, other.corners, strict=True) for a, b in zip(p, q, strict=True)]
    return counts or max(off) > one.pitch / 4


@pytest.mark.parametrize("kind", KINDS)
def test_two_or_three_other_grids_are_offered_beside_every_one_sure_or_not(kind):
    for case, reading in readings(kind):
        if reading is None:
            continue
        assert 2 <= len(reading.others) <= 3, case.how
        for one, other in combinations((reading.lattice, *(other.lattice for other in reading.others)), 2):
            assert apart(one, other), case.how
        for other in reading.others:
            assert other.grid.filled.shape == (other.lattice.rows, other.lattice.columns)
