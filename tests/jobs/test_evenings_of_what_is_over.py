"""Evenings are booked for what is to be made: once a job is called off, finished or made from another plan, they are
free for the others."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.jobs.actions import JobFacts, accept_quote, change_job, move_job
from shopapp.jobs.done.open import open_of
from shopapp.jobs.evenings import timetable_of
from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.jobs.season.asked import asked
from shopapp.jobs.tonight.made import made_of
from shopapp.people.models import Member
from shopapp.plans.timetable.actions import tick
from shopapp.plans.timetable.planning import words_of
from shopapp.plans.timetable.readers import kept_of
from shopapp.schedule.models import Booking, ShopSession
from tests.support import season, work
from tests.support.evenings import kept


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    season.five_evenings(owner)
    return work.kept(owner)


@pytest.fixture(scope="module")
def another_plan(owner, plan):
    return work.another(owner)


@pytest.fixture
def flag(owner, plan, db):
    return work.move(owner, work.job(owner, plan, label="Flag"), "under way")


def free_minutes() -> int:
    seen = asked(list(Job.objects.filter(label="Other")), timezone.localtime())
    return sum(closes - opens for opens, closes in seen.shop.sessions) * 5


def booked(job) -> int:
    return sum(one.ends - one.starts for one in Booking.objects.filter(key=job.key))


def change(owner, job, **changes):
    job = Job.objects.get(pk=job.pk)
    facts = replace(JobFacts(job.label, job.kind, plan=job.plan), **changes)
    return change_job(who=owner, job=job, facts=facts, seen_version=job.edit_version)


def test_called_off_it_holds_no_evening_and_says_so(owner, plan, flag, another_plan):
    work.job(owner, another_plan, label="Other")
    before = free_minutes()
    kept(owner, making_of_job(flag.pk), in_hand=True)
    assert free_minutes() == before - booked(flag) < before
    work.move(owner, flag, "called off")
    assert free_minutes() == before and booked(flag) == 0
    assert "Its evenings are free again." in flag.events.first().words


def test_finished_it_holds_no_evening(owner, plan, flag):
    kept(owner, making_of_job(flag.pk), in_hand=True)
    flag.refresh_from_db()
    seen = open_of(flag, owner).seen
    move_job(who=owner, job=flag, state="finished", seen_version=flag.edit_version, with_open=seen)
    assert booked(flag) == 0


def test_what_was_to_be_made_with_it_keeps_the_hours_of_its_own_steps(owner, plan, flag, another_plan):
    pennant = work.job(owner, another_plan, label="Pennant")
    joint = kept(owner, making_of_job(flag.pk), in_hand=True, together=[pennant.key])
    both = booked(flag)
    work.move(owner, flag, "called off")
    assert booked(flag) == 0 < booked(pennant) < both
    assert timetable_of(pennant) == (joint, 2)
    # And none that is over as well.
    other = work.move(owner, work.job(owner, plan, label="Other"), "under way")
    kept(owner, making_of_job(other.pk), in_hand=True, together=[pennant.key])
    work.move(owner, pennant, "called off")
    work.move(owner, other, "called off")
    assert Booking.objects.count() == 0


def test_made_from_another_plan_neither_its_timetable_nor_its_evenings_count_any_more(owner, plan, flag):
    old = kept(owner, making_of_job(flag.pk), in_hand=True)
    another = work.beside(owner, plan, method="tiles")
    change(owner, flag, plan=another)
    assert booked(flag) == 0 and "Its evenings are free again." in flag.events.first().words
    assert kept_of(making_of_job(flag.pk)) == [] and made_of([Job.objects.get(pk=flag.pk)], timezone.now()) == []
    assert timetable_of(Job.objects.get(pk=flag.pk)) == (None, 1)
    new = kept(owner, making_of_job(flag.pk), in_hand=True)
    assert kept_of(making_of_job(flag.pk)) == [new]
    # Changed back, what was kept for it counts again.
    change(owner, flag, plan=plan)
    assert kept_of(making_of_job(flag.pk)) == [old]


def test_what_is_ticked_by_its_plan_keeps_it_to_that_plan(owner, plan, flag):
    found = kept(owner, making_of_job(flag.pk), in_hand=True)
    step = next(iter(words_of(found.form)))
    given = {"who": owner, "making": making_of_job(flag.pk), "kept": found, "step": step}
    tick(done=True, **given)
    another = work.beside(owner, plan, method="tiles")
    with pytest.raises(PlannerError, match="they are its plan’s") as refused:
        change(owner, flag, plan=another)
    assert refused.value.field == "plan" and Job.objects.get(pk=flag.pk).plan == plan and booked(flag) > 0
    change(owner, flag, label="Flag for the quay")
    tick(done=False, **given)
    assert change(owner, flag, label="Flag for the quay", plan=another).plan == another


def test_taken_up_again_what_is_left_of_it_is_planned_anew_and_booked(owner, plan, flag):
    first = kept(owner, making_of_job(flag.pk), in_hand=True)
    step = next(iter(words_of(first.form)))
    tick(who=owner, making=making_of_job(flag.pk), kept=first, step=step, done=True)
    whole = booked(flag)
    for over, again in (("called off", "planned"), ("finished", "under way")):
        work.move(owner, flag, *(["under way"] if over == "finished" else []), over)
        assert booked(flag) == 0
        work.move(owner, flag, again)
        newest, _ = timetable_of(flag)
        assert newest.pk > first.pk and step not in words_of(newest.form) and 0 < booked(flag) <= whole
        assert "Its evenings are planned anew, ready " in flag.events.first().words
        assert all(one.on >= timezone.localdate() for one in Booking.objects.filter(key=flag.key))


def test_taken_up_again_it_is_planned_alone_and_leaves_the_hours_of_what_it_was_made_with(
    owner, plan, another_plan, db
):
    flag = accept_quote(who=owner, quote=work.quote(owner, plan), label="Flag")
    pennant = work.job(owner, another_plan, label="Pennant")
    kept(owner, making_of_job(flag.pk), in_hand=True, together=[pennant.key])
    work.move(owner, flag, "called off")
    others = booked(pennant)
    work.move(owner, flag, "planned")
    newest, number = timetable_of(flag)
    assert number == 1 and len(newest.boards) == 1 and booked(flag) > 0 and booked(pennant) == others


def test_where_its_evenings_do_not_fit_it_is_taken_up_all_the_same_and_said_why(owner, plan, flag):
    kept(owner, making_of_job(flag.pk), in_hand=True)
    work.move(owner, flag, "called off")
    ShopSession.objects.all().delete()
    work.move(owner, flag, "planned")
    assert booked(flag) == 0
    assert flag.events.first().words.startswith(
        "Flag is planned again. Its evenings could not be planned anew: Nobody is in the shop in these weeks."
    )
    # Of a job that never had a timetable nothing is said.
    other = work.move(owner, work.job(owner, plan, label="Other"), "called off", "planned")
    assert other.events.first().words == "Other is planned again."
