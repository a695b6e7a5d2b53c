"""What mends a weak seam: just enough of it, told with minutes, wood and what the seam then carries."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from planner.measures import round_half_up
from planner.methods import Way, compare
from planner.pattern import Pattern
from planner.shop import StockSize
from tests.planner.methods.boards import SHOP, maker, mm, spec

# Woods change in every row at every column, so nothing but the borders lies across.
CHECKED = Pattern.of([[None, *(["beech", "walnut-black"] * 3)[r % 2 :][:5], None] for r in range(8)])
LIMIT = Fraction(1, 3)
WEAK = maker(replace(SHOP, least_carried=LIMIT))
RUNS = Way("runs", "rows")


def made(asked=None, who=WEAK, way=RUNS, picture=CHECKED):
    return compare(picture, asked or spec(), who, also=()).of(way)


def remedy(kind, **given):
    (found,) = [one for one in made(**given).remedies if one.kind == kind]
    return found


def test_a_seam_that_holds_needs_no_mending():
    strong = made(who=maker(replace(SHOP, least_carried=Fraction(0))))
    assert strong.meets and strong.remedies == ()


def test_every_kind_is_told_of_a_weak_seam_even_where_it_is_not_offered():
    weak = made()
    assert not weak.meets
    assert [one.kind for one in weak.remedies] == ["axis", "borders", "strips", "keys", "backing"]
    assert all(one.words and (one.minutes is None) != one.offered for one in weak.remedies)
    assert weak.remedies[0].words.startswith("Rows upright instead")


@pytest.mark.parametrize("along", ["rows", "columns"])
def test_borders_are_made_just_deep_enough(along):
    """Asked for so deep the board meets the limit, and comes to what the remedy said; a step less, and it does not."""
    way, strict = Way("runs", along), maker(replace(SHOP, least_carried=Fraction(3, 5)))
    before, told = made(who=strict, way=way), remedy("borders", who=strict, way=way)
    ((field, depth),) = told.changes.items()
    after, less = (made(spec(**{field: size}), strict, way) for size in (depth, depth - strict.shop.saw_scale))
    assert told.meets and after.meets and not less.meets
    assert after.weakest.carried == told.carried.value and after.weakest.share == told.share
    assert (after.figures["hours"].value - before.figures["hours"].value) * 60 == told.minutes.value
    assert after.figures["wood"].value - before.figures["wood"].value == told.wood.value


def test_the_other_axis_is_told_by_the_other_axis_own_figures():
    told, here, there = remedy("axis"), made(), made(way=Way("runs", "columns"))
    assert told.carried.value == there.weakest.carried and told.meets == there.meets
    assert told.wood.value == there.figures["wood"].value - here.figures["wood"].value
    assert told.minutes.value == 60 * (there.figures["hours"].value - here.figures["hours"].value)
    assert told.changes == {"along": "columns"}


def test_continuous_strips_are_the_fewest_that_are_enough():
    """Strips 9.2 mm wide (10 mm ripped, less gauging and dressing) add to the board as well as to what lies across."""
    told, now = remedy("strips"), made().weakest
    wide = Fraction("9.2")
    (added,) = [term.figure.value.mm for term in told.carried.terms if term.name == "Added"]
    strips = added / wide
    assert strips.denominator == 1
    assert told.share == (now.carried.mm + added) / (now.of.mm + added) >= LIMIT
    rows = 8
    every = max(n for n in range(1, rows) if -(-rows // n) - 1 >= strips)
    more = next(iter(sorted({-(-rows // n) - 1 for n in range(every + 1, rows)}, reverse=True)), 0)
    assert (now.carried.mm + more * wide) / (now.of.mm + more * wide) < LIMIT
    assert told.minutes.value > 0 and told.wood.value >= 0


def test_keys_count_by_the_third_they_are_let_in_and_are_the_fewest_that_are_enough():
    told, now = remedy("keys"), made().weakest
    each = Fraction("9.5") / 3
    (added,) = [term.figure.value.mm for term in told.carried.terms if term.name == "Added"]
    assert (added / each).denominator == 1
    assert (now.carried.mm + added) / now.of.mm >= LIMIT > (now.carried.mm + added - each) / now.of.mm
    assert told.share == (now.carried.mm + added) / now.of.mm
    # Each key is twelve minutes of letting in, beside the strips they are cut from.
    assert told.minutes.value >= 12 * added / each


def test_a_backing_is_offered_only_under_a_thin_face_that_hangs_to_be_looked_at():
    thin = spec(thickness=mm(8))
    assert remedy("backing", asked=thin).offered
    assert "second face" in remedy("backing", asked=thin).words
    assert not remedy("backing").offered
    assert not remedy("backing", asked=replace(thin, use="serving")).offered
    assert remedy("backing", asked=thin).wood.value == Decimal(0)


def every_mend(told):
    """Wood and hours of every way that falls short, with each remedy that is enough; the other axis is a way itself."""
    return {
        (made.way, one.kind): made.total + one.wood.value + round_half_up(one.minutes.value / 60 * 20, 2)
        for made in told.ways
        for one in made.remedies
        if one.offered and one.meets and one.kind not in ("axis", "backing")
    }


def test_where_no_way_holds_the_one_that_is_mended_for_the_least_is_named():
    # Stock as thin as this gives no panels for rows of 20.
    strict = maker(replace(SHOP, least_carried=Fraction(3, 5)), stock=StockSize(mm(24), mm(160)))
    told = compare(CHECKED, spec(), strict, also=())
    costs, mended = every_mend(told), told.choice.mended
    assert told.choice.meeting == 0 and len(costs) > 3
    assert mended.total.value == costs[mended.way, mended.remedy.kind] == min(costs.values())


def test_a_way_mended_is_named_beside_one_that_holds_only_where_it_comes_to_less():
    """Panels hold by themselves and take long; a border a little deeper on runs is less of everything."""
    told = compare(CHECKED, spec(), maker(replace(SHOP, least_carried=Fraction(3, 5))), also=())
    assert told.choice.best.way.method == "panels"
    assert told.choice.mended.total.value == min(every_mend(told).values()) < told.choice.best.total
    easy = compare(CHECKED, spec(), maker(replace(SHOP, least_carried=Fraction(1, 5))), also=())
    assert easy.choice.mended is None and easy.choice.best.meets


def test_what_would_not_be_enough_is_said_rather_than_offered():
    impossible = maker(replace(SHOP, least_carried=Fraction(1)))
    for kind in ("borders", "strips", "keys"):
        told = remedy(kind, who=impossible)
        assert not told.offered and told.minutes is None
    short = maker(replace(SHOP, least_carried=LIMIT, longest_rip=mm(420)))
    assert made(who=short).refused or not made(who=short).meets
