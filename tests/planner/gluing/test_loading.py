"""What is glued at once: rows in as few parts as load in time, lots that keep to their most, jigs and clamps pooled."""

import random
from fractions import Fraction
from math import ceil

import pytest

from planner.gluing import TimetableError
from planner.gluing.loading import evenly, lots_of, segments_of
from planner.gluing.materials import Clamps, RowJigs
from planner.gluing.tools import pooled
from tests.support.each import each
from tests.support.glue_boards import mm


def fewest_parts(pieces, fixed, a_joint, assembly):
    """The plain way: more parts until the longest of parts as even as can be is loaded in time."""
    for parts in range(1, pieces + 1):
        longest = -(-pieces // parts)
        if longest >= 2 and fixed + a_joint * (longest - 1) <= assembly:
            return parts
    return None


@each("seed", range(60))
def test_a_row_is_glued_in_the_fewest_parts_that_load_in_time(seed):
    rng = random.Random(seed)
    pieces, assembly = rng.randint(2, 70), rng.randint(2, 25)
    fixed, a_joint = Fraction(rng.randint(0, 16), 4), Fraction(rng.randint(1, 12), 8)
    fewest = fewest_parts(pieces, fixed, a_joint, assembly)
    if fewest is None:
        with pytest.raises(TimetableError) as refused:
            segments_of(pieces, fixed, a_joint, assembly)
        assert refused.value.field == "adhesive"
        return
    parts = segments_of(pieces, fixed, a_joint, assembly)
    assert len(parts) == fewest
    assert sum(parts) == pieces
    assert max(parts) - min(parts) <= 1
    assert all(fixed + a_joint * (part - 1) <= assembly for part in parts)
    # The plain formula counts the joints between the parts as well, and so never says fewer.
    if fixed < assembly and fewest > 1:
        assert len(parts) <= ceil((pieces - 1) * a_joint / (assembly - fixed))


def test_a_row_of_32_tiles_by_hand():
    # 3 min and a quarter for each of 31 joints are 10.75 min; a glue of 8 min leaves time for 20 joints a part.
    assert segments_of(32, Fraction(3), Fraction(1, 4), 11) == (32,)
    assert segments_of(32, Fraction(3), Fraction(1, 4), 8) == (16, 16)


@each("seed", range(30))
def test_lots_keep_their_most_and_lose_nothing(seed):
    rng = random.Random(seed)
    minutes = [Fraction(rng.randint(1, 90 if seed % 3 == 0 else 30), 2) for _ in range(rng.randint(1, 40))]
    lots = lots_of(minutes, Fraction(30))
    assert all(taken <= 30 for *_, taken in lots)
    assert sum(taken for *_, taken in lots) == sum(minutes)
    assert {i for first, end, _ in lots for i in range(first, end)} == set(range(len(minutes)))
    assert [first for first, *_ in lots] == sorted(first for first, *_ in lots)


@each("count", range(1, 30))
def test_groups_are_as_few_and_as_even_as_can_be(count):
    groups = evenly(count, 4)
    assert [i for group in groups for i in group] == list(range(count))
    assert len(groups) == ceil(count / 4)
    assert max(map(len, groups)) - min(map(len, groups)) <= 1


def test_jigs_that_take_every_row_are_one_pool_and_those_that_take_some_another():
    jigs = (RowJigs("Short", 2, mm(400)), RowJigs("Middle", 1, mm(700)), RowJigs("Long", 1, mm(900)))
    assert [(pool.name, pool.count) for pool in pooled(jigs, [mm(300)], "jigs")] == [
        ("jigs: Short and Middle and Long", 4)
    ]
    found = pooled(jigs, [mm(300), mm(600)], "jigs")
    assert [(pool.name, pool.count, pool.size) for pool in found] == [
        ("jigs: Short", 2, mm(400)),
        ("jigs: Middle and Long", 2, mm(700)),
    ]
    # What serves nothing there is to glue is not counted.
    assert [pool.name for pool in pooled(jigs, [mm(800)], "jigs")] == ["jigs: Long"]


def test_clamps_too_short_for_a_joint_are_left_to_the_rows():
    clamps = (Clamps("Short", 12, mm(300)), Clamps("Long", 6, mm(900)))
    assert [(pool.name, pool.count) for pool in pooled(clamps, [mm(25), mm(500)], "clamps")] == [
        ("clamps: Short", 12),
        ("clamps: Long", 6),
    ]


def test_what_takes_no_time_is_one_lot():
    assert lots_of([Fraction(0)] * 5, Fraction(30)) == [(0, 5, Fraction(0))]
