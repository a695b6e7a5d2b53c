"""What if I bought this board: the plan without it beside the plan with it, and what that saves."""

from __future__ import annotations

from dataclasses import replace

from planner.cutting.fromshop import cut_job, says_in, unit_of
from planner.cutting.plan import faults_of, plan_cuts
from planner.cutting.whatif import to_buy, what_if
from tests.planner.cutting.fromshop.making import PLAIN, mm, rack, record

TWENTY = record(["bbbb"] * 5)


def asked(pieces, bought, **kwargs):
    file = cut_job(TWENTY, PLAIN, pieces)
    boards = to_buy(file, bought, PLAIN)
    return what_if(file, boards, steps=20, **kwargs), replace(file.job, stock=(*file.job.stock, *boards))


def test_a_cheaper_board_is_used_and_what_it_saves_counts_its_price():
    """The wide board for 30.00 and the same to buy for 12.00: 18.00 less goes out, and less comes back in offcuts:
    half of what is left of either is credited at its own price."""
    answer, more = asked(rack(worth="30"), rack(worth="12"))
    assert answer.used == ("to buy 1",) and answer.paid == 120_000
    assert 0 < answer.saved < 180_000 and answer.saved == answer.before.cost - answer.after.cost
    assert faults_of(answer.after, more) == () and answer.lacks == ""


def test_a_dearer_board_is_left_at_the_yard():
    answer, _ = asked(rack(worth="9"), rack(worth="40"))
    assert (answer.used, answer.paid, answer.saved) == ((), 0, 0)


def test_where_nothing_could_be_made_before_it_says_so_and_makes_it_now():
    told = record(["bbbbbbbbbb"] * 12)
    file = cut_job(told, PLAIN, rack(width=60))
    answer = what_if(
        file, to_buy(file, rack(width=150, count=2), PLAIN), steps=20, says=says_in(unit_of(file.unit), PLAIN)
    )
    assert answer.before is None and answer.saved is None and answer.after is not None
    assert set(answer.used) <= {"to buy 1", "to buy 2"} and answer.used
    assert "left uncut" in answer.lacks and "20 mm" in answer.lacks


def test_where_nothing_can_be_made_after_either_it_says_why():
    told = record(["bbbbbbbbbb"] * 30)
    file = cut_job(told, PLAIN, rack(width=60))
    answer = what_if(file, to_buy(file, rack(width=40), PLAIN), steps=5)
    assert answer.after is None and answer.saved is None and "left uncut" in answer.lacks


def test_the_plan_in_the_file_is_what_it_is_held_against_and_is_never_undercut_by_chance():
    file = cut_job(TWENTY, PLAIN, rack(worth="9"))
    planned = replace(file, plan=plan_cuts(file.job, steps=20))
    answer = what_if(planned, to_buy(file, rack(worth="40"), PLAIN), keep_going=lambda: False)
    assert answer.before is planned.plan and answer.after.cost <= planned.plan.cost and answer.saved >= 0


def test_names_go_on_from_those_the_job_has():
    file = cut_job(TWENTY, PLAIN, rack())
    first = to_buy(file, rack(count=2), PLAIN)
    assert [board.name for board in first] == ["to buy 1", "to buy 2"]
    more = replace(file, job=replace(file.job, stock=(*file.job.stock, first[0])))
    assert [board.name for board in to_buy(more, rack(count=2, length=mm(500)), PLAIN)] == ["to buy 2", "to buy 3"]
