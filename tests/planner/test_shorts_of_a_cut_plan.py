"""What a cut plan will leave is looked at like shorts that lie there already, and designs are ranked by what they ask
for an hour."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from planner.cutting.fromshop import Wishes, costs_of, cut_job, unit_of
from planner.cutting.plan import first_cut_plan
from planner.figures import Figure
from planner.shorts import leftovers, price_over_hours, ranked, shelves
from tests.planner.cutting.fromshop.making import PLAIN, mm, rack, record

TWENTY = record(["bbbb"] * 5)


def planned(pieces, wishes=None, shop=PLAIN, told=TWENTY):
    file = cut_job(told, shop, pieces, wishes)
    return replace(file, plan=first_cut_plan(file.job))


def test_an_end_is_as_rough_as_its_board_and_what_was_milled_is_surfaced():
    """The plan of twenty tiles of test_what_to_buy: behind the rough length of 385 an end of 94 by 462, beside its
    strips an edge of 48 by 385; the board is 25 thick, the rough length was milled to 20."""
    pieces = rack()
    file = planned(pieces)
    found = {
        one.kind: (one.thickness, one.width, one.length, one.surfaced, one.board)
        for one in leftovers(file.plan.offcuts, file, pieces, PLAIN)
    }
    assert found == {
        "end": (mm(25), mm(94), mm(462), False, "BEE1"),
        "edge": (mm(20), mm(48), mm(385), True, "BEE1"),
    }


def test_they_are_free_pieces_with_keys_of_their_own_in_whole_nanometres():
    pieces = rack()
    file = planned(pieces)
    found = leftovers(file.plan.offcuts, file, pieces, PLAIN, first_key=-10)
    assert [one.as_piece[0] for one in found] == [-10, -11]
    assert {one.as_piece[1:] for one in found} == {
        ("beech", 25 * 10**6, 94 * 10**6, 462 * 10**6, False),
        ("beech", 20 * 10**6, 48 * 10**6, 385 * 10**6, True),
    }


def test_offcuts_of_pieces_counted_at_nothing_are_there_too():
    pieces, wishes = rack(offcut=True), Wishes(offcuts_first=True)
    file = planned(pieces, wishes)
    assert not any(offcut.credit for offcut in file.plan.offcuts)
    costs = costs_of(file.plan, file, pieces, PLAIN, wishes, unit_of(file.unit))
    assert {one.kind for one in leftovers(costs.offcuts, file, pieces, PLAIN)} == {"end", "edge"}


def _priced(rows, price, hours, **kwargs):
    told = record(rows, **kwargs)
    figures = {
        "price": Figure(Decimal(price), "money", "").as_record(),
        "hours": Figure(Fraction(hours), "h", "").as_record(),
    }
    return {**told, "figures": figures}


def test_what_can_be_made_of_the_leftovers_comes_first_and_by_price_over_hours():
    """Of an end of 94 by 462 and an edge of 48 by 385 small boards of beech can be made; one with walnut cannot."""
    pieces = rack()
    file = planned(pieces)
    there = shelves([one.as_piece for one in leftovers(file.plan.offcuts, file, pieces, PLAIN)], PLAIN)
    designs = [
        (1, _priced(["bb"], "60", 3)),  # 20 an hour
        (2, _priced(["bw"], "900", 1)),  # no walnut
        (3, _priced(["bbb"], "100", 4)),  # 25 an hour
        (4, {key: value for key, value in _priced(["bb"], "1", 1).items() if key != "figures"}),
    ]
    order = ranked(designs, there, PLAIN)
    assert [one.key for one in order] == [3, 1, 4, 2]
    assert [one.made.can_be_made for one in order] == [True, True, True, False]
    assert order[0].an_hour.value == Decimal("25.00") and order[2].an_hour is None


def test_the_hours_of_one_board_are_meant_where_there_are_several():
    figures = {
        "price": Figure(Decimal("50"), "money", "").as_record(),
        "hours": Figure(Fraction(30), "h", "").as_record(),
        "hours_each": Figure(Fraction(10), "h", "").as_record(),
    }
    assert price_over_hours(figures).value == Decimal("5.00")
    assert price_over_hours({"hours": figures["hours"]}) is None


def test_a_real_reckonings_figures_are_ranked_as_they_were_kept():
    told = record(["bb"])
    one = price_over_hours(told["figures"])
    price, hours = (Figure.from_record(told["figures"][name]).value for name in ("price", "hours"))
    assert abs(Fraction(one.value) - Fraction(price) / hours) <= Fraction(1, 200)
