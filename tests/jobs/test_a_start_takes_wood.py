"""The start of a job takes its wood from the rack, all of it or nothing, as its page said before the press; or leaves
it there where that was chosen."""

from __future__ import annotations

import re
import secrets

import pytest
from django.urls import reverse

from shopapp.jobs.models import Job
from shopapp.lumber.models import StockEntry, StockPiece
from shopapp.lumber.stock.actions import scrap_piece
from shopapp.plans.cutting.doing.actions import report
from shopapp.plans.cutting.doing.checks import cuts_and_rack_that_disagree
from shopapp.plans.cutting.doing.planning import boards_of
from tests.support import work
from tests.support.rack import boards
from tests.support.sawing import WOODS, a_rack, cutting_of, kept_job, now


def page(client, job) -> str:
    return client.get(job.get_absolute_url()).content.decode()


def press(client, job, state="under way", **typed):
    job.refresh_from_db()
    form = {"form_key": secrets.token_urlsafe(24), "edit_version": job.edit_version, "state": state, **typed}
    return client.post(reverse("jobs:move", args=[job.pk]), form)


def told(client, job) -> str:
    """What the button says of the boards it takes, as the shop reads it back."""
    (found,) = re.findall(r'<button class="primary" name="wood" value="(\w+)">', page(client, job))
    return found


def out_for(job) -> set[str]:
    return set(StockPiece.objects.filter(state="taken", demand__key=job.key).values_list("mark", flat=True))


@pytest.fixture
def cut(owner):
    """A job with its cut plan kept, and the marks of its boards."""
    _, sheet = kept_job(owner)
    return Job.objects.get(), set(boards_of(sheet.form))


def test_one_press_begins_a_job_and_takes_every_board_of_its_cut_plan_as_its_page_said(owner, owner_client, cut):
    job, marks = cut
    body = page(owner_client, job)
    assert f"Begin it and take all {len(marks)}" in body and all(mark in body for mark in marks)
    assert press(owner_client, job, wood=told(owner_client, job)).status_code == 302
    job.refresh_from_db()
    assert (job.state, out_for(job)) == ("under way", marks)
    assert StockEntry.objects.filter(kind="taken").count() == 1 and cuts_and_rack_that_disagree() == []
    # Not begun after all: every board lies on the rack again, reserved as it was.
    assert "puts what is out back on the rack" in page(owner_client, job)
    press(owner_client, job, "planned")
    held = StockPiece.objects.filter(state="here", demand__key=job.key).values_list("mark", flat=True)
    assert out_for(job) == set() and set(held) == marks and cuts_and_rack_that_disagree() == []


def test_a_start_that_lacks_a_board_takes_none_says_which_and_names_the_ways_on(owner, owner_client, cut):
    job, marks = cut
    read = told(owner_client, job)
    lost = StockPiece.objects.get(mark=min(marks))
    scrap_piece(who=owner, piece=lost, reason="worm")
    answer = press(owner_client, job, wood=read)
    body = answer.content.decode()
    assert answer.status_code == 422 and f"{lost.mark} is not on the rack any more: scrapped." in body
    for way in (reverse("jobs:cut", args=[job.pk]), reverse("jobs:wood", args=[job.pk]), 'name="wood" value="left"'):
        assert way in body
    job.refresh_from_db()
    assert (job.state, out_for(job)) == ("planned", set())
    press(owner_client, job, wood="left")
    job.refresh_from_db()
    assert (job.state, out_for(job)) == ("under way", set())
    assert job.events.first().words == "Flag is under way. It was begun without its wood."


def test_without_a_cut_plan_the_start_takes_what_is_reserved_once_that_is_enough(owner, owner_client):
    job = work.job(owner, work.kept(owner))
    a_rack(owner, each=1)
    some = StockPiece.objects.get(wood="sycamore")
    work.give(owner, job, "reserve", some)
    assert "more than is reserved for it." in page(owner_client, job)
    assert press(owner_client, job, wood="a" * 32).status_code == 422 and out_for(job) == set()
    work.give(owner, job, "reserve", *StockPiece.objects.filter(demand=None, wood__in=WOODS))
    job.refresh_from_db()
    assert press(owner_client, job, wood=told(owner_client, job)).status_code == 302
    assert len(out_for(job)) == 4
    press(owner_client, job, "planned")
    assert StockPiece.objects.filter(state="here", demand__key=job.key).count() == 4


def test_other_boards_than_were_read_or_none_that_were_said_are_not_taken(owner, owner_client, cut):
    job, _ = cut
    assert press(owner_client, job, wood="b" * 32).status_code == 409
    answer = press(owner_client, job)
    assert answer.status_code == 409 and "It was not said what becomes of its wood." in answer.content.decode()
    job.refresh_from_db()
    assert (job.state, out_for(job)) == ("planned", set())


def test_wood_left_on_the_rack_is_told_and_taken_later_by_one_press(owner, owner_client, cut):
    job, marks = cut
    (extra,) = boards(owner, 1, wood="padauk")
    work.give(owner, job, "reserve", extra)
    assert f"it stays on the rack: {extra.mark}" in page(owner_client, job)
    press(owner_client, job, wood="left")
    assert job.events.first().words == "Flag is under way. Its wood was left on the rack for now."
    body = page(owner_client, job)
    assert "Its wood is still on the rack" in body
    (sheet,) = re.findall(r'name="sheet" value="(\d+)"', body)
    typed = {"do": "start", "sheet": sheet, "form_key": secrets.token_urlsafe(24)}
    owner_client.post(reverse("jobs:cut_doing", args=[job.pk]), typed)
    assert out_for(job) == marks and "still on the rack</h2>" not in page(owner_client, job)


def test_not_begun_after_all_leaves_out_what_is_cut(owner, owner_client, cut):
    job, marks = cut
    press(owner_client, job, wood=told(owner_client, job))
    cutting = cutting_of(job)
    report(who=owner, cutting=cutting, sheet=now(cutting).sheet, board=min(marks), rough=None)
    press(owner_client, job, "planned")
    assert out_for(job) == marks and job.events.first().words.endswith(" are still out.")
