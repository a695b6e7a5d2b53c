"""One page at the bench for all jobs that are begun: their cards by time, what is in clamps, what gets in the way."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.jobs.tonight.readers import tonight_of
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from shopapp.plans.timetable.actions import plan_the_rest, tick
from shopapp.workshop.readers import the_workshop
from tests.support import tonight as bench
from tests.support import work

PAGE = reverse("jobs:tonight")


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner) -> Plan:
    bench.all_day(owner)
    return work.kept(owner)


@pytest.fixture(scope="module")
def two(owner, plan):
    """Two jobs whose timetables were kept one after the other, and rows of both due today."""
    return [bench.rows_due(owner, plan, label) for label in ("Flag for the quay", "Pennant")]


@pytest.fixture
def client_of(db, client):
    def signed_in(member: Member):
        client.force_login(member)
        return client

    return signed_in


def now_of(at=None):
    return tonight_of(at or timezone.localtime(), the_workshop())


def test_the_steps_of_all_jobs_stand_in_the_order_of_the_clock(db, two):
    found = now_of()
    assert {task.label for task in found.tasks} == {"Flag for the quay", "Pennant"}
    times = [task.line.at for task in found.tasks]
    assert times == sorted(times) and len({at.date() for at in times}) == 1
    assert found.hands == sum(task.line.minutes for task in found.tasks) <= found.there


def test_what_was_not_ticked_on_its_evening_is_left_over_and_comes_first(db, owner, two):
    due = now_of().tasks
    making, kept = two[0]
    bench.glue_row(owner, making, kept, bench.first_row(kept))
    later = now_of(timezone.localtime() + timedelta(days=1))
    keys = {(task.label, task.line.key) for task in later.left_over}
    done = (making.label, bench.first_row(kept))
    assert {(task.label, task.line.key) for task in due} - {done} <= keys and done not in keys
    assert later.next_of("") == later.left_over[0]
    assert {made.job.label for made in later.behind} == {"Flag for the quay", "Pennant"}


def test_timetables_kept_apart_that_want_one_jig_at_once_are_told_with_the_way_to_plan_them_together(
    db, owner, two, client_of
):
    """The second was put into what the first had booked of hands; what stays in the jig then was in nobody's book."""
    found = now_of()
    jig = next(one for one in found.crossings if "jig" in one.crossing.what)
    assert (jig.crossing.wanted, jig.crossing.there) == (2, 1)
    assert {label for _, label, _ in jig.steps} == {"Flag for the quay", "Pennant"}
    text = client_of(owner).get(PAGE).content.decode()
    assert "In each other’s way" in text and reverse("jobs:timetable", args=[two[0][0].plan.jobs.first().pk]) in text


def test_each_row_to_lay_is_drawn_with_its_pieces_in_order_and_how_many_are_glued(db, owner, two):
    making, kept = two[0]
    bench.glue_row(owner, making, kept, bench.first_row(kept))
    record = making.plan.record
    laid = {row["number"]: row for row in record["laid"]}
    drawn = [task for task in now_of().tasks if task.panel and task.label == making.label]
    assert drawn
    for task in drawn:
        row = laid[int(task.line.key.split("/")[2])]
        assert task.panel.count == len(row["parts"]) == task.pieces
        assert task.panel.done == 1 and task.panel.many == sum(len(one["parts"]) > 1 for one in record["laid"])
        names = {wood["wood"]: wood["name"] for wood in record["woods"]}
        assert [run.wood for run in task.panel.laying.runs] == [names[record["parts"][n]["wood"]] for n in row["parts"]]


def test_a_step_that_was_asked_for_is_the_large_one_and_one_nobody_knows_is_not(db, owner, two, client_of):
    last = now_of().tasks[-1]
    assert client_of(owner).get(PAGE, {"step": last.anchor}).context["now"].anchor == last.anchor
    assert client_of(owner).get(PAGE, {"step": "j0-s-nothing"}).context["now"] == now_of().next_of("")


def test_what_was_ticked_before_the_rest_was_planned_again_still_stands_in_clamps(db, owner, two):
    making, kept = two[0]
    bench.glue_row(owner, making, kept, bench.first_row(kept))
    before = now_of().timers
    plan_the_rest(who=owner, making=making, kept=kept)
    after = now_of().timers
    assert [(timer.alone.key, timer.alone.off) for timer in after] == [(t.alone.key, t.alone.off) for t in before] != []


def test_a_tick_that_is_taken_back_takes_its_timer_with_it(db, owner, two):
    making, kept = two[0]
    step = bench.first_row(kept)
    bench.glue_row(owner, making, kept, step)
    assert [timer.alone.key for timer in now_of().timers] == [step]
    tick(who=owner, making=making, kept=kept, step=step, done=False)
    assert now_of().timers == []
