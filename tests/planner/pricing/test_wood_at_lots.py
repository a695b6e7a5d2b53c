"""Wood costs what its own boards cost, not an average of all, nor the oldest first; today's price is told beside it."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from planner.average import Held, bought, worth_of
from planner.cutting.plan import CutJob, Part, Rules, StockBoard, first_cut_plan, plan_cuts
from planner.lotcost import shared
from planner.pricing import BoardTaken, PricingError, WoodCost, boards_taken, cost_at_lots, wood_at_lots
from tests.planner.cutting.plan.making import plausible
from tests.planner.cutting.plan.small import small
from tests.planner.pricing.board import cost_of

WORKED = json.loads((Path(__file__).parents[2] / "reference" / "worked-selling.json").read_text())
LOTS = WORKED["two_lots"]
D = Decimal


def boards(lot, name):
    """Every board of a lot by its mark, at its share of what the lot cost."""
    count, each = int(LOTS[lot]["count"]), D(LOTS[lot]["each"])
    worths = shared(each * count, [Fraction(1)] * count, 2)
    return [BoardTaken(f"{name}{n}", "Ash", worth) for n, worth in enumerate(worths, 1)]


def test_twelve_boards_of_two_lots_cost_what_these_twelve_cost():
    taken = [*boards("second", "B"), *boards("first", "A")[:2]]
    assert len(taken) == int(LOTS["used"])
    cost = wood_at_lots(taken).actual.value
    assert str(cost) == LOTS["specific_all_of_the_second_and_two_of_the_first"]["used"]


def test_twelve_of_what_cannot_be_told_apart_cost_the_average():
    held = Held()
    for lot in ("first", "second"):
        count = D(LOTS[lot]["count"])
        held = bought(held, count, count * D(LOTS[lot]["each"]))
    assert str(worth_of(held, D(LOTS["used"]), 2)) == LOTS["moving_average"]["used"]


def test_neither_is_first_in_first_out():
    # What it would be, by hand: ten at 8.00 and two at 11.00. Boards are told apart, and supplies are averaged.
    oldest_first = 10 * D("8.00") + 2 * D("11.00")
    assert str(oldest_first) == LOTS["first_in_first_out"]["used"]
    assert oldest_first not in (
        D(LOTS["specific_all_of_the_second_and_two_of_the_first"]["used"]),
        D(LOTS["moving_average"]["used"]),
    )


def test_what_goes_back_is_credited_and_the_sum_names_every_board():
    taken = [
        BoardTaken("12", "Ash", D("30.00"), D("4.1234")),
        BoardTaken("13", "Ash", D("20.00")),
        BoardTaken("7", "Padauk", D("9.99")),
    ]
    actual = wood_at_lots(taken).actual
    # By hand: 50.00 − 4.1234 is 45.8766, rounded once.
    assert [(term.name, str(term.figure.value)) for term in actual.terms] == [("Ash", "45.88"), ("Padauk", "9.99")]
    assert [term.name for term in actual.terms[0].figure.terms] == ["Board 12", "Back of board 12", "Board 13"]
    assert actual.value == D("55.87")


def test_what_the_same_would_cost_today_stands_beside_it():
    found = wood_at_lots([BoardTaken("1", "Ash", D("30.00"))], [WoodCost("Ash", Fraction(5), "bf", D("7.50"))])
    assert (found.actual.value, found.replacement.value, found.dearer) == (D("30.00"), D("37.50"), D("7.50"))
    cheaper = wood_at_lots([BoardTaken("1", "Ash", D("30.00"))], [WoodCost("Ash", Fraction(5), "bf", D("5.00"))])
    assert cheaper.dearer == D("-5.00")
    assert wood_at_lots([BoardTaken("1", "Ash", D("30.00"))]).replacement is None


def test_no_boards_cost_nothing():
    assert str(wood_at_lots([]).actual.value) == "0.00"


@pytest.mark.parametrize("board", [BoardTaken("1", "Ash", D(5), D(6)), BoardTaken("1", "Ash", D(-5)),
                                   BoardTaken("1", "Ash", D(5), D(-1))])  # fmt: skip
def test_no_board_gives_back_more_than_it_was_worth(board):
    with pytest.raises(PricingError) as refused:
        wood_at_lots([board])
    assert refused.value.field == "lots" and refused.value.mend


def test_a_cost_with_its_wood_at_lots_has_its_reserve_and_its_sum_anew():
    cost = cost_of()
    found = cost_at_lots(cost, wood_at_lots([BoardTaken("1", "Walnut", D("36.40"))]).actual.terms)
    lines = {term.name: term.figure.value for term in found.terms}
    # By hand: wood is 10.00 dearer than the worked 26.40, so 294.90 is made; ÷ 0.96 less itself is 12.2875.
    assert lines["Walnut"] == D("36.40") and "walnut" not in lines
    assert lines["Reserve for boards lost"] == D("12.29")
    assert found.value == D("294.90") + D("12.29") + D("4.50")
    same = {name: value for name, value in lines.items() if name not in ("Walnut", "Reserve for boards lost")}
    assert same.items() <= {term.name: term.figure.value for term in cost.terms}.items()


def test_the_same_wood_at_its_own_cost_leaves_the_cost_as_it_is():
    cost = cost_of()
    assert cost_at_lots(cost, cost.terms[:3]) == cost


def test_a_cost_of_one_of_several_boards_is_refused():
    with pytest.raises(PricingError) as refused:
        cost_at_lots(cost_of(2), ())
    assert refused.value.field == "cost"


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_a_cut_plans_boards_come_to_what_the_plan_says_it_costs(seed):
    job = plausible(seed)
    plan = first_cut_plan(job)
    taken = boards_taken(job, plan, {"ash": "Ash from the mill"})
    assert sum(one.worth - one.back for one in taken) * 10_000 == plan.cost
    assert [one.mark for one in taken] == [cut.board for cut in plan.boards]
    of = {board.name: board.wood for board in job.stock}
    assert all(one.wood == {"ash": "Ash from the mill"}.get(of[one.mark], of[one.mark]) for one in taken)
    lines = {term.name: term.figure.value for term in wood_at_lots(taken).actual.terms}
    assert abs(sum(lines.values()) - D(plan.cost).scaleb(-4)) <= D("0.005") * len(lines)


def test_offcuts_may_go_back_at_their_whole_part_of_the_board():
    # By hand: 20.00 for 1,000 by 100; what is left behind the cut is 90 by 600 of it, counted at half by the plan.
    rules = Rules(crosscut_kerf=5, rip_kerf=5, edge_trim=5, grid=5, keep_length=300, keep_width=40, worth_area=100_000)
    job = CutJob((Part("ash", 90, 20, 395, 1),), (StockBoard("7", "ash", 100, 1000, 25, 200_000, 100_000),), rules)
    plan = first_cut_plan(job)
    assert [(one.width, one.length) for one in plan.offcuts] == [(90, 600)]
    found = [
        boards_taken(job, plan, {}, offcuts_at=at)[0].back for at in (None, Fraction(1, 2), Fraction(1), Fraction(0))
    ]
    assert found == [D("5.4"), D("5.4"), D("10.8"), D("0")]


@pytest.mark.parametrize("seed", [1, 7, 14])  # each leaves offcuts of layers beside whole ones
def test_an_offcut_of_one_of_two_layers_goes_back_at_half(seed):
    job = small(seed, "resaw")
    plan = plan_cuts(job, steps=20)
    stock = {board.name: board for board in job.stock}
    due = dict.fromkeys((cut.board for cut in plan.boards), Fraction(0))
    for cut in plan.boards:
        for one in (offcut for offcut in plan.offcuts if offcut.board == cut.board):
            board = stock[cut.board]
            part = Fraction(one.width * one.length, board.width * board.length) * board.cost
            due[cut.board] += part / 2 if cut.rough[one.rough].resawn else part
    for taken in boards_taken(job, plan, {}, offcuts_at=Fraction(1)):
        lost = due[taken.mark] - Fraction(taken.back) * 10_000
        assert 0 <= lost < len(plan.offcuts), "each is rounded down by less than a unit"
