"""What is ticked is left out; what still sets or cures goes on, and keeps its jig and clamps until it is over."""

from dataclasses import replace

import pytest

from planner.gluing import faults_of, find_timetable
from planner.gluing.materials import RowJigs
from tests.support.glue_boards import AT_ONCE, OIL, SHOP, WHITE, board, mm, work
from tests.support.trade_rules import broken_rules

BOARDS = [board(8)]
ONE_JIG = replace(SHOP, jigs=(RowJigs("Jig", 1, mm(1200)),))


def kinds(glue):
    return [step.kind for step in glue.steps]


def done_before(glue, kind):
    """Every step before the first of a kind."""
    return [step.key for step in glue.steps[: kinds(glue).index(kind)]]


def index(glue, key):
    return next(i for i, step in enumerate(glue.steps) if step.key == key)


def test_what_is_ticked_is_left_out_and_the_rest_is_as_it_was():
    whole = work(*BOARDS)
    done = done_before(whole, "dress")
    left = work(*BOARDS, done=done)
    assert [step.key for step in left.steps] == [step.key for step in whole.steps if step.key not in done]
    assert left.work.capacity == whole.work.capacity
    assert find_timetable(left.work, steps=5).finish < find_timetable(whole.work, steps=5).finish


def test_everything_ticked_leaves_nothing():
    whole = work(*BOARDS)
    assert work(*BOARDS, done=[step.key for step in whole.steps]).steps == ()


def test_what_had_to_be_done_before_a_ticked_step_is_done_though_nobody_ticked_it():
    whole = work(*BOARDS)
    left = work(*BOARDS, done=["1/row/3"])
    gone = {step.key for step in whole.steps} - {step.key for step in left.steps}
    assert {"1/row/3", "1/sort/1/1", "1/cut/1", "1/gauge/1", "1/ready/1"} <= gone
    # The other rows are still to be glued.
    assert [key for key in sorted(gone) if "/row/" in key] == ["1/row/3"]


def test_a_tick_of_what_is_not_there_changes_nothing():
    assert work(*BOARDS, done=["7/row/99"]) == work(*BOARDS)


def test_a_row_still_in_the_jig_keeps_it_and_its_clamps_and_cures_as_long_as_it_would_have():
    whole = work(*BOARDS, shop=ONE_JIG)
    done = [*done_before(whole, "row"), "1/row/2"]
    opens = whole.work.sessions[0][0]
    # Hands left it two slots before the session began: of 30 minutes in clamps 20 are to come.
    left = work(*BOARDS, shop=ONE_JIG, done=done, ready={"1/row/2": opens - 2})
    assert next((step.key, step.running) for step in left.steps) == ("1/row/2", True)
    found = find_timetable(left.work, steps=20)
    assert faults_of(found, left.work) == ()
    next_row = min(start for step, start in zip(left.steps, found.starts, strict=True) if step.kind == "row" and start)
    assert next_row == opens + 4
    cured = opens + 4 + WHITE.machining // 5
    assert found.starts[index(left, "1/dress/1")] >= cured


@pytest.mark.parametrize(("ago", "trued"), [(0, 516), (65, 229), (66, 228), (10_000, 228)])
def test_a_cure_is_over_when_its_time_has_passed_however_long_ago_it_was_ticked(ago, trued):
    # Held for six slots and cured for a day; the first evenings begin at slots 228 and 516.
    whole = work(*BOARDS)
    join = [step.key for step in whole.steps if step.kind == "join"][-1]
    left = work(*BOARDS, done=done_before(whole, "true"), ready={join: -ago})
    assert find_timetable(left.work, steps=5).starts[index(left, "1/true")] == trued
    assert (join in {step.key for step in left.steps}) == (6 + 288 - ago > 228)


def test_a_coat_laid_on_is_wiped_in_time_and_one_left_too_long_at_once():
    whole = work(*BOARDS)
    done = [*done_before(whole, "coat"), "1/coat/1"]
    opens = whole.work.sessions[0][0]
    left = work(*BOARDS, done=done, ready={"1/coat/1": opens})
    start = find_timetable(left.work, steps=5).starts[index(left, "1/wipe/1")]
    assert opens + OIL.soak // 5 <= start <= opens + OIL.wipe_within // 5
    late = work(*BOARDS, done=done, ready={"1/coat/1": opens - 40})
    assert find_timetable(late.work, steps=5).starts[index(late, "1/wipe/1")] == opens
    assert any("do it at once" in words for words in late.remarks)


def test_a_last_cure_that_goes_on_is_waited_for():
    whole = work(*BOARDS)
    done = [step.key for step in whole.steps]
    wipe = done[-1]
    left = work(*BOARDS, done=done, ready={wipe: 100})
    assert find_timetable(left.work, steps=5).finish == 100 + OIL.cure // 5


@pytest.mark.parametrize("cut", range(0, 40, 6))
def test_planned_again_from_any_point_it_keeps_the_trades_rules_and_what_was_planned_still_holds(cut):
    whole = work(*BOARDS)
    first = find_timetable(whole.work, steps=10)
    order = sorted(range(len(first.starts)), key=lambda i: first.starts[i])
    ticked = {whole.steps[i].key: first.starts[i] + whole.work.tasks[i].attended for i in order[:cut]}
    now = max((slot for slot in ticked.values()), default=0)
    sessions = tuple((max(a, now), b) for a, b in whole.work.sessions if b > now)
    left = work(*BOARDS, done=ticked, ready=ticked, sessions=sessions)
    again = find_timetable(left.work, steps=10)
    assert faults_of(again, left.work) == ()
    at = {step.key: start for step, start in zip(left.steps, again.starts, strict=True) if not step.running}
    starts = tuple(at.get(step.key, first.starts[i]) for i, step in enumerate(whole.steps))
    together = type(first)(starts, max(s + t.span + t.rest for s, t in zip(starts, whole.work.tasks, strict=True)))
    assert broken_rules(whole, together, BOARDS, SHOP, WHITE, OIL, AT_ONCE) == []
    # Going on as it was planned is one of the ways that are left.
    as_planned = tuple(0 if step.running else first.starts[index(whole, step.key)] for step in left.steps)
    assert faults_of(type(first)(as_planned, first.finish), left.work) == ()
