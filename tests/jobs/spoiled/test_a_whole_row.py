"""A row glued the wrong way round: all its parts are written down at once, and it is glued again."""

from __future__ import annotations

import secrets

import pytest
from django.urls import reverse

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.jobs.models import Job, PartEntry
from shopapp.jobs.spoiled.planning import alike_in
from shopapp.jobs.spoiled.readers import recut_of
from shopapp.jobs.spoiled.rows import rows_in, write_row
from shopapp.plans.timetable.actions import plan_the_rest, tick
from shopapp.plans.timetable.planning import Opened
from shopapp.plans.timetable.standing import ticked_of
from shopapp.workshop.readers import the_workshop
from tests.support import tonight as bench
from tests.support import work


@pytest.fixture
def job(owner):
    return work.move(owner, work.job(owner, work.kept(owner)), "under way")


def laid(job, number: int) -> list[int]:
    """The parts that lie in a row, from the record itself."""
    return next(one["parts"] for one in job.plan.record["laid"] if one["number"] == number)


def a_row(job) -> int:
    """The one of the most pieces."""
    return max(rows_in(job.plan), key=lambda row: row.pieces).number


def write(owner, job, **changes):
    given = {"who": owner, "job": job, "kind": "spoiled", "number": a_row(job), "count": 1, "why": "face down"}
    return write_row(**{**given, **changes})


def test_every_part_of_it_is_written_down_and_the_list_has_what_the_spares_do_not_make_up_for(owner, job):
    written = write(owner, job)
    assert sum(entry.count for entry in written.entries) == len(laid(job, a_row(job)))
    assert {entry.why for entry in written.entries} == {f"row {a_row(job)}: face down"}
    recut = recut_of(Job.objects.select_related("plan").get(pk=job.pk), the_workshop(), owner, money=False)
    lost = laid(job, a_row(job))
    by_hand = sum(max(0, sum(part in alike.parts for part in lost) - alike.spares) for alike in alike_in(job.plan))
    assert recut.to_cut == by_hand > 0
    # Cut again is what had to be, and no more.
    again = write(owner, job, kind="again", why="")
    assert sum(entry.count for entry in again.entries) == by_hand
    with pytest.raises(PlannerError, match="is to be cut again"):
        write(owner, job, kind="again", why="")


def test_a_row_that_was_not_there_so_often_writes_nothing_at_all(owner, job):
    spoiled = 0
    while spoiled < 99:
        before = PartEntry.objects.count()
        try:
            write(owner, job)
        except PlannerError as error:
            assert "more than there are" in str(error) and PartEntry.objects.count() == before
            break
        spoiled += 1
    assert 0 < spoiled < 99
    for changes in ({"number": 999}, {"why": " "}, {"count": 0}):
        with pytest.raises(PlannerError):
            write(owner, job, **changes)


def test_a_glued_row_that_is_spoiled_is_glued_again_also_once_the_rest_was_planned_anew(owner):
    bench.all_day(owner)
    making, kept = bench.rows_due(owner, work.kept(owner))
    step = bench.first_row(kept)
    number = int(step.split("/")[2])
    bench.glue_row(owner, making, kept, step)
    again = plan_the_rest(who=owner, making=making, kept=kept)
    assert step not in {one.key for one in Opened.of(again.form).steps if not one.running}
    job = Job.objects.get()
    written = write(owner, job, number=number)
    assert written.glued_again and "Plan the rest again" in str(written)
    assert not {step, f"{step}/dry"} & ticked_of(making.keys).keys()
    anew = plan_the_rest(who=owner, making=making, kept=again)
    assert step in {one.key for one in Opened.of(anew.form).steps}


def test_a_row_that_is_dressed_already_keeps_its_ticks(owner):
    bench.all_day(owner)
    making, kept = bench.rows_due(owner, work.kept(owner))
    dress = next(one for one in Opened.of(kept.form).steps if one.kind == "dress")
    step = f"1/row/{next(n for n in dress.rows if f'1/row/{n}' in {s.key for s in Opened.of(kept.form).steps})}"
    bench.glue_row(owner, making, kept, step)
    tick(who=owner, making=making, kept=kept, step=dress.key, done=True)
    written = write(owner, Job.objects.get(), number=int(step.split("/")[2]))
    assert not written.glued_again and step in ticked_of(making.keys)


def test_the_bench_leads_to_it_with_the_row_chosen_and_what_is_sent_twice_counts_once(owner, owner_client):
    bench.all_day(owner)
    _, kept = bench.rows_due(owner, work.kept(owner))
    job = Job.objects.get()
    address = reverse("jobs:spoiled", args=[job.pk])
    number = bench.first_row(kept).split("/")[2]
    assert f'href="{address}?row={number}"' in owner_client.get("/jobs/tonight/").content.decode()
    page = owner_client.get(address, {"row": number})
    assert f'<option value="row {number}" selected>' in page.content.decode()
    key = {"form_key": secrets.token_urlsafe(24)}
    sent = {"kind": "spoiled", "part": f"row {number}", "count": "1", "why": "glued askew", **key}
    for _ in range(2):
        answer = owner_client.post(address, sent, follow=True)
    pieces = len(laid(job, int(number)))
    assert sum(PartEntry.objects.values_list("count", flat=True)) == pieces
    assert "counted once" in answer.content.decode()
    for odd in ("row 999", "row", "row x", "row 1 1", "\x00"):
        assert (
            owner_client.post(address, {**sent, "part": odd, "form_key": secrets.token_urlsafe(24)}).status_code == 422
        )
        assert owner_client.get(address, {"row": odd}).status_code == 200


def test_slices_of_panels_are_no_rows_to_choose(owner):
    flat = {"side_border": Length.of_mm(0), "end_border": Length.of_mm(0)}
    plan = work.kept(owner, method="panels", **flat)
    assert plan.record["panels"] and rows_in(plan) == []
    assert len(rows_in(work.beside(owner, plan, method="tiles", **flat))) > 1


def test_a_piece_that_broke_at_the_bench_is_chosen_beforehand(owner_client, job):
    for n in (0, len(job.plan.record["parts"]) - 1):
        alike = next(one for one in alike_in(job.plan) if n in one.parts)
        page = owner_client.get(reverse("jobs:spoiled", args=[job.pk]), {"part": n}).content.decode()
        assert f'<option value="{alike.parts[0]}" selected>' in page and 'name="count" value="1"' in page
    for odd in ("", "-1", "999999", "x", "\x00"):
        page = owner_client.get(reverse("jobs:spoiled", args=[job.pk]), {"part": odd})
        assert page.status_code == 200 and "selected>Choose one" in page.content.decode()
