"""The least that is read right of each kind of picture, on a small seeded sample; `python -m tests.bench.reading` gives
the rates on larger ones."""

from __future__ import annotations

from functools import cache

import pytest

from planner.picture import PictureError, read_picture
from tests.pictures.degrade import KINDS, LOSSLESS, MAIN, cases
from tests.pictures.judge import Verdict, judge

EACH = 8
SEED = 31
# Exact of eight: all where nothing is lost, and of the rest one or two fewer than were read when this was written down.
FLOORS = dict.fromkeys(KINDS, 7) | dict.fromkeys(LOSSLESS, 8) | {"jpeg": 6}
FLOOR_OF_ALL = 84
SURE_OF_ALL = 62


@cache
def verdicts(kind: str) -> tuple[Verdict, ...]:
    found = []
    for case in cases(kind, "dev", EACH, SEED):
        try:
            found.append(judge(case, read_picture(case.data)))
        except PictureError:
            found.append(judge(case, None))
    return tuple(found)


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
