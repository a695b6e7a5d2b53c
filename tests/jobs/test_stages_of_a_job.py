"""How far a job is stands on its page, a line a stage: what is done, what comes next, what is waited for."""

from __future__ import annotations

from django.utils import timezone

from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.jobs.stages.readers import stages_of
from shopapp.jobs.tonight.planning import facts_of
from shopapp.plans.models import StepTick
from tests.support import work
from tests.support.evenings import kept
from tests.support.sawing import a_rack, cutting_of, sawn
from tests.support.week import a_week, on_the_wall


def tick(job, *keys, done=True) -> None:
    for key in keys:
        StepTick.objects.create(key=job.key, step=key, words=key, done=done, at=timezone.now())


def test_what_is_ticked_is_done_the_first_that_is_not_comes_next_and_the_rest_is_waited_for(owner, owner_client):
    a_week(owner), on_the_wall(owner)
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way")
    assert stages_of(job) == []
    timetable = kept(owner, making_of_job(job.pk))
    steps = {key: one.step.stage for key, one in facts_of(timetable.form).items()}
    stages = stages_of(job)
    assert {one.name for one in stages} == set(steps.values()) and sum(one.steps for one in stages) == len(steps)
    assert [one.words for one in stages[:2]] == ["next", "waited for"]
    first, second = stages[0].name, stages[1].name
    tick(job, *(key for key, stage in steps.items() if stage == first))
    assert [one.words for one in stages_of(job)[:2]] == ["done", "next"]
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
