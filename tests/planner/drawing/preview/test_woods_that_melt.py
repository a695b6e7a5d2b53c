"""Two woods that melt together across the room or dry are told, with where they touch and what to do."""

from __future__ import annotations

import pytest

from planner.drawing.preview import WoodTone, melting
from planner.errors import PlannerError
from planner.measures import Length
from planner.pattern import Pattern
from tests.support.previews import drawn, record_of, tones

PALE, PALER, DARK = (226, 190, 132), (226, 201, 157), (84, 58, 43)


def woods(**colours):
    """Woods of these oiled colours, or of oiled and dry ones, under their ids."""
    names = {"walnut": "walnut-black", "birch": "birch-yellow"}
    found = tones()
    for key, colour in colours.items():
        oiled, dry = colour if isinstance(colour[0], tuple) else (colour, colour)
        wood = names.get(key, key)
        found[wood] = WoodTone(oiled, dry, "ring", found[wood].name)
    return found


def told(record, colours, **more):
    return {(frozenset((melt.one, melt.other)), melt.where): melt for melt in melting(record, colours, **more)}


BLOCK = record_of(drawn("bbbb\nbbbb\nbbbb"))
PAIR = frozenset(("sycamore", "beech"))


def test_two_near_colours_melt_near_and_far():
    found = told(BLOCK, woods(sycamore=PALE, beech=PALER))
    assert set(found) == {(PAIR, "across"), (PAIR, "dry")}
    melt = found[PAIR, "across"]
    assert melt.difference < 8 and "3 m" in melt.words
    assert "American sycamore" in melt.words and "American beech" in melt.words
    # Around a block of four tiles by three, of 20 mm.
    assert melt.touching == pytest.approx(2 * (80 + 60), rel=0.05)
    assert f"{melt.touching:,.0f} mm" in melt.words
    # The paler of the two is the one to be replaced by a lighter, the other by a darker.
    assert "a lighter wood than American beech" in melt.words and "a darker one than American sycamore" in melt.words


def test_who_works_in_inches_reads_feet_and_inches():
    (melt, *_) = melting(BLOCK, woods(sycamore=PALE, beech=PALER), unit="in")
    assert "10 ft" in melt.words and "11 in" in melt.words and " m " not in melt.words


def test_two_colours_far_apart_do_not():
    assert melting(BLOCK, woods(sycamore=PALE, beech=DARK)) == ()


def test_dry_is_told_apart_from_oiled():
    """Oil deepens one of them: alike on the bench, plain on the wall."""
    found = told(BLOCK, woods(sycamore=(PALE, PALE), beech=(DARK, PALER)))
    assert set(found) == {(PAIR, "dry")}
    assert "mark" in found[PAIR, "dry"].words and "estimate" not in found[PAIR, "dry"].words


def test_an_estimated_dry_colour_is_called_so():
    colours = {**tones(), "beech": WoodTone(PALE, None, "ring", "American beech")}
    colours["sycamore"] = WoodTone(PALER, PALER, "ring", "American sycamore")
    assert "estimate" in told(BLOCK, colours)[PAIR, "dry"].words


def test_small_tiles_melt_from_further_away_than_large_ones():
    """A chequer of two woods that are well apart, seen from nearer and from farther."""
    colours = woods(sapele=(150, 80, 50), padauk=(168, 72, 40), sycamore=PALE)
    chequer = Pattern.of([["sapele" if (r + c) % 2 else "padauk" for c in range(12)] for r in range(12)])
    chequer = chequer.padded(1, 1, 1, 1)
    pair = frozenset(("sapele", "padauk"))

    def apart(pitch, metres):
        found = told(record_of(chequer, method="tiles", pitch=Length.of_mm(pitch)), colours, metres=metres)
        melt = found.get((pair, "across"))
        return 99.0 if melt is None else melt.difference

    assert apart(11, 12.0) < apart(11, 4.0)
    assert apart(11, 12.0) < apart(30, 12.0)


def test_woods_that_do_not_touch_are_not_told():
    colours = woods(beech=PALE, birch=PALER, sycamore=DARK)
    between = record_of(drawn("bb.ww\nbb.ww"))
    assert melting(between, colours) == ()
    assert melting(record_of(drawn("bbww\nbbww")), colours) != ()


def test_a_board_of_one_wood_has_no_seams_to_tell():
    assert melting(record_of(drawn("ssss\nssss"), border_wood="sapele"), tones("sapele")) == ()


def test_a_distance_nobody_looks_from_is_refused():
    with pytest.raises(PlannerError) as refused:
        melting(BLOCK, tones(), metres=0)
    assert refused.value.field == "metres"


@pytest.mark.parametrize("method", ["tiles", "deep", "panels"])
def test_it_is_the_same_of_a_board_built_another_way(method):
    block = drawn("bbbb\nbbbb\nbbbb")
    one = told(record_of(block, "columns", method=method), woods(sycamore=PALE, beech=PALER))
    other = told(BLOCK, woods(sycamore=PALE, beech=PALER))
    assert one[PAIR, "dry"].difference == other[PAIR, "dry"].difference
    assert one[PAIR, "across"].difference == pytest.approx(other[PAIR, "across"].difference, abs=0.3)
