"""How far a job is stands on its page, a line a stage: what is done, what comes next, what is waited for."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.jobs.stages.readers import stages_of
from shopapp.jobs.tonight.planning import facts_of
from shopapp.plans.models import StepTick
from shopapp.plans.timetable.actions import plan_the_rest
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import finishes, the_workshop
from tests.support import work
from tests.support.evenings import kept
from tests.support.sawing import a_rack, cutting_of, sawn
from tests.support.week import a_week, on_the_wall

# What nobody does anything for, in the order of the work; the last is said of the job, not ticked.
RESTS = ["rested", "glue cured", "cured", "handed over"]


def tick(job, *keys, done=True, at=None) -> None:
    for key in keys:
        StepTick.objects.create(key=job.key, step=key, words=key, done=done, at=at or timezone.now())


def stage(job, name: str):
    return next(one for one in stages_of(job) if one.name == name)


def test_what_is_ticked_is_done_the_first_that_is_not_comes_next_and_the_rest_is_waited_for(owner, owner_client):
    a_week(owner), on_the_wall(owner)
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way")
    assert stages_of(job) == []
    timetable = kept(owner, making_of_job(job.pk))
    steps = {key: one.step.stage for key, one in facts_of(timetable.form).items()}
    stages = stages_of(job)
    ticked = [one for one in stages if one.name not in RESTS]
    assert {one.name for one in ticked} == set(steps.values()) and sum(one.steps for one in ticked) == len(steps)
    assert [one.name for one in stages if one.name in RESTS] == RESTS
    assert [one.words for one in stages[:2]] == ["next", "waited for"]
    first, second = stages[0].name, stages[1].name
    tick(job, *(key for key, stage in steps.items() if stage == first))
    milled, rested = stages_of(job)[:2]
    # The wood rests then; what comes next waits for it.
    assert milled.words == "done" and rested.words.startswith("until ") and rested.is_next
    rows = [key for key, stage in steps.items() if stage == "rows glued"]
    tick(job, rows[0])
    glued = next(one for one in stages_of(job) if one.name == "rows glued")
    assert glued.words == f"waited for, 1 of {len(rows)} steps"
    tick(job, rows[0], done=False)
    assert next(one for one in stages_of(job) if one.name == "rows glued").words == "waited for"
    body = owner_client.get(job.get_absolute_url()).content.decode()
    assert "what is still open" in body and "How far it is" in body and second.capitalize() in body


def test_of_a_finished_job_nothing_is_waited_for(owner, owner_client):
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way", "finished")
    a_rack(owner)
    sawn(owner, cutting_of(job))
    body = owner_client.get(job.get_absolute_url()).content.decode()
    assert "not ticked" in body and "waited for" not in body and 'aria-current="step"' not in body


def test_what_was_ticked_before_the_rest_was_planned_anew_stays_done(owner):
    a_week(owner), on_the_wall(owner)
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way")
    tick(job, "1/row/99", "1/row/99/dry")
    assert [(one.name, one.words) for one in stages_of(job)] == [("rows glued", "done")]


def test_cuts_that_are_ticked_are_counted_where_it_is_cut(owner):
    job = work.job(owner, work.kept(owner))
    a_rack(owner)
    sawn(owner, cutting_of(job))
    (cut,) = stages_of(Job.objects.get(pk=job.pk))
    assert cut.name == "crosscut" and 0 < cut.cut < cut.cuts and cut.words == "next"


def test_what_rests_is_over_by_the_hours_that_pass_or_once_what_waits_for_it_is_begun(owner):
    """Rough milled a moment ago the wood rests for as many days as is planned; three weeks ago it has rested."""
    a_week(owner), on_the_wall(owner)
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way")
    Workshop.objects.update_or_create(pk=the_workshop().pk or 1, defaults={"rest_days": 3})
    timetable = kept(owner, making_of_job(job.pk))
    steps = {key: one.step for key, one in facts_of(timetable.form).items()}
    rough = [key for key, step in steps.items() if step.kind == "rough"]
    assert stage(job, "rested").words == "waited for"
    now = timezone.now()
    tick(job, *rough, at=now)
    rested = stage(job, "rested")
    assert rested.until == now + timedelta(days=3) and rested.words.startswith("until ") and not rested.is_done
    tick(job, *rough, done=False)
    tick(job, *rough, at=now - timedelta(weeks=3))
    assert stage(job, "rested").words == "done" and stage(job, "final milled and ripped").is_next is False
    tick(job, *rough, done=False)
    tick(job, *rough, at=now)
    tick(job, next(key for key, step in steps.items() if step.kind == "rip"))
    assert stage(job, "rested").words == "done"


def test_the_finish_has_cured_as_long_after_the_last_wiping_as_its_sheet_says(owner):
    a_week(owner), on_the_wall(owner)
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way")
    timetable = kept(owner, making_of_job(job.pk))
    wipes = [key for key, one in facts_of(timetable.form).items() if one.step.kind == "wipe"]
    now = timezone.now()
    tick(job, *wipes, at=now)
    # The starting finish cures so many days: what is assumed where none is written down.
    assert stage(job, "cured").until == now + timedelta(minutes=finishes()[0].cure)


def test_a_job_is_handed_over_when_that_is_said_and_not_before(owner):
    a_week(owner), on_the_wall(owner)
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way")
    kept(owner, making_of_job(job.pk))
    assert stages_of(job)[-1].words == "waited for"
    work.move(owner, job, "finished")
    assert not stage(job, "handed over").is_done
    work.move(owner, job, "handed over")
    assert stage(job, "handed over").is_done


def test_planned_again_while_the_finish_cures_it_cures_as_long_as_before(owner):
    """Wiped an hour ago, and what is left planned from today on: it is over when it was going to be, to a slot."""
    a_week(owner), on_the_wall(owner)
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way")
    making = making_of_job(job.pk)
    timetable = kept(owner, making)
    wiped = timezone.now() - timedelta(hours=1)
    done = [key for key, one in facts_of(timetable.form).items() if one.step.kind not in ("photo", "pack")]
    tick(job, *done, at=wiped)
    before = stage(job, "cured").until
    assert before == wiped + timedelta(minutes=finishes()[0].cure)
    plan_the_rest(who=owner, making=making, kept=timetable)
    assert timedelta(0) <= stage(job, "cured").until - before < timedelta(minutes=10)
