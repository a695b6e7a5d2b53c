"""Of plans that cost the same the one with fewer boards is kept, then the one with fewer settings; never a dearer."""

from dataclasses import replace

import pytest

from planner.cutting.plan import BoardCut, CutJob, Part, RoughCut, Rules, StockBoard, StripCut, faults_of, plan_cuts
from planner.cutting.plan.ties import rank_of, settings_of, settle_ties
from planner.cutting.plan.worth import settle
from tests.planner.cutting.plan.making import plausible

RULES = Rules(crosscut_kerf=2, rip_kerf=2, grid=10, worth_area=100)
SHELF = {name: StockBoard(name, "ash", 20, 200, 10, 100) for name in ("A", "B")}


def board(name, *rough):
    """Rough lengths of a single strip each, one behind the other; kept whole without parts."""
    made, at = [], 0
    for length, parts in rough:
        made.append(RoughCut(length, 10, (StripCut(20, parts),), at) if parts else RoughCut(length, 0, (), at))
        at += length + RULES.crosscut_kerf
    return BoardCut(name, tuple(made))


def test_rough_lengths_are_made_alike_where_there_is_room_and_nothing_is_kept():
    cuts = (board("A", (100, ((98, 1),))), board("B", (90, ((88, 1),))))
    made = settle_ties(cuts, SHELF, RULES, apart=False)
    assert [one.length for cut in made for one in cut.rough if one.strips] == [100, 100]
    assert settings_of(made) == settings_of(cuts) - 1


def test_they_are_not_where_the_end_of_the_board_is_worth_something():
    shelf = {name: StockBoard(name, "ash", 20, 200, 10, 100, worth=5) for name in SHELF}
    cuts = (board("A", (100, ((98, 1),)), (98, ())), board("B", (90, ((88, 1),)), (108, ())))
    # What is added to the rough length is lost at the end of its strip, which is too short to keep.
    assert settle_ties(cuts, shelf, replace(RULES, keep_length=20), apart=False) == cuts


def test_strips_alike_are_crosscut_alike():
    # Four of each length: two strips of two and two, instead of one of three and one, and one of one and three.
    cuts = (board("A", (140, ((40, 3), (15, 1)))), board("B", (140, ((40, 1), (15, 3)))))
    made = settle_ties(cuts, SHELF, RULES, apart=False)
    assert {strip.parts for cut in made for rough in cut.rough for strip in rough.strips} == {((40, 2), (15, 2))}
    # Where parts have to stay on their boards, they do.
    assert settle_ties(cuts, SHELF, RULES, apart=True) == cuts


def test_a_strip_whose_parts_are_dealt_to_another_is_not_ripped():
    # What is kept is worth five a square of ten; a kerf of two beside the second strip is saved with it.
    shelf = {"A": StockBoard("A", "ash", 60, 140, 10, 1000, worth=5)}
    rules = replace(RULES, keep_length=20)
    rough = RoughCut(140, 10, (StripCut(20, ((40, 1),)), StripCut(20, ((15, 1),))), 0)
    (made,) = settle_ties((BoardCut("A", (rough,)),), shelf, rules, apart=False)
    assert made.rough[0].strips == (StripCut(20, ((40, 1), (15, 1))),)
    # A strip's tail is kept where the edge beside would be too narrow to be.
    narrow = {"A": replace(shelf["A"], width=44)}
    (left,) = settle_ties((BoardCut("A", (rough,)),), narrow, replace(rules, keep_width=30), apart=False)
    assert len(left.rough[0].strips) == 2


def test_a_stop_is_counted_once_however_often_it_is_used():
    one = board("A", (90, ((40, 2),)))
    assert settings_of((one, BoardCut("B", one.rough))) == settings_of((one,)) == 3


@pytest.mark.parametrize("seed", range(6))
def test_ties_are_settled_at_no_cost_and_the_same_each_time(seed):
    job = plausible(seed, woods=1)
    shelf = {one.name: one for one in job.stock}
    plan = plan_cuts(job, steps=12)
    made = settle_ties(plan.boards, shelf, job.rules, apart=False)
    assert rank_of(made, shelf, job.rules) <= rank_of(plan.boards, shelf, job.rules)
    assert faults_of(settle(made, shelf, job.rules), job) == ()
    assert made == settle_ties(plan.boards, shelf, job.rules, apart=False)


def test_two_boards_for_the_price_of_one_are_left_on_the_rack():
    # Either two small boards or the large one, for 100 both; the large one alone is fewer boards to fetch and mill.
    small = [StockBoard(f"small {i}", "ash", 20, 100, 10, 50) for i in range(2)]
    for order in (0, 1):
        large = StockBoard("large", "ash", 20, 202, 10, 100)
        stock = (*small, large) if order else (large, *small)
        plan = plan_cuts(CutJob((Part("ash", 20, 10, 48, 4),), stock, RULES))
        assert (plan.cost, [cut.board for cut in plan.boards]) == (100, ["large"])
