"""What has to be cut again asks for wood: of the rack, of the yard, and beside what the job needed from the first."""

from __future__ import annotations

import html
import re

import pytest
from django.urls import reverse

from planner.cutting.fromshop import Wishes, cuts_in
from planner.measures import Length
from planner.shop import Shop
from shopapp.jobs.models import Job
from shopapp.jobs.needs import needs_of
from shopapp.jobs.readers import wanted_by
from shopapp.jobs.spoiled.actions import write_parts
from shopapp.jobs.spoiled.again import again_of
from shopapp.jobs.spoiled.planning import alike_in
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import scrap_piece
from shopapp.people.models import Member
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.rack import boards
from tests.support.sawing import kept_job

mm = Length.of_mm
WALNUT = "walnut-black"


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def job(owner) -> Job:
    """Its cut plan has every board, and three more of its walnut are spoiled than it has spares."""
    cutting, _ = kept_job(owner)
    job = work.move(owner, Job.objects.select_related("plan").get(pk=int(cutting.key.split()[1])), "under way")
    run = next(one for one in alike_in(job.plan) if one.wood == WALNUT and one.spares)
    write_parts(who=owner, job=job, kind="spoiled", part=run.parts[0], count=run.spares + 3, why="torn out")
    return job


def scrap(owner, **which) -> None:
    for piece in StockPiece.objects.filter(state="here", demand=None, **which):
        scrap_piece(who=owner, piece=piece, reason="worm")


def list_for(client, job):
    return client.get(reverse("jobs:buying"), {"asked": "1", "for": f"job.{job.pk}"})


def words_of(answer) -> str:
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(html.unescape(text).replace("\u00a0", " ").split())


def test_a_job_that_has_all_its_boards_asks_for_wood_for_what_is_cut_again_alone(owner, owner_client, job):
    page = list_for(owner_client, job)
    assert [one.wood.wood for one in page.context["found"].enough] == [WALNUT]
    assert "For Flag: 3 pieces to cut again , after what the rack gives" in words_of(page)
    scrap(owner, wood=WALNUT)
    page = list_for(owner_client, job)
    # Three pieces, and no spares of spares.
    assert [(line.wood.wood, line.pieces) for line in page.context["found"].lines] == [(WALNUT, 3)]


def test_boards_its_cut_plan_speaks_for_are_not_taken_for_it_a_second_time(owner, owner_client, job):
    scrap(owner, wood=WALNUT)
    assert StockPiece.objects.filter(wood=WALNUT, demand__key=job.key, state="here").exists()
    assert list_for(owner_client, job).context["found"].enough == []
    more = boards(owner, 1, wood=WALNUT, thickness=mm(32), length=mm(900))
    work.give(owner, job, "reserve", *more)
    assert [one.from_rack for one in list_for(owner_client, job).context["found"].enough] == [(more[0].mark,)]


def test_once_it_is_cut_nothing_more_is_asked_for(owner, owner_client, job):
    run = next(one for one in alike_in(job.plan) if one.wood == WALNUT and one.spares)
    write_parts(who=owner, job=job, kind="again", part=run.parts[0], count=3)
    found = list_for(owner_client, job).context["found"]
    assert found.counted == [] and [one.label for one in found.provided] == ["Flag"]
    assert wanted_by(job).needs == needs_of(job.plan) and wanted_by(job).remark == ""


def test_the_wood_a_job_needs_is_the_plans_and_that_of_the_strips_cut_again(owner, owner_client, job):
    again = again_of([job], the_workshop())[job.pk]
    strips = sum(one.figure.value for one in again.sections)
    assert again.pieces == 3 and again.feet == {WALNUT: strips}
    now, planned = wanted_by(job).needs, needs_of(job.plan)
    assert now == planned | {WALNUT: planned[WALNUT] + strips}
    told = the_workshop().counts_wood.told(strips).replace("\u00a0", " ")
    page = words_of(owner_client.get(reverse("jobs:wood", args=[job.pk])))
    assert f"{told} of it for 3 pieces to cut again." in page
    assert "3 pieces to cut again are in it." in words_of(owner_client.get(job.get_absolute_url()))


def test_what_is_cut_again_is_a_record_of_its_own_without_spares(job):
    again = again_of([job], the_workshop())[job.pk]
    assert [(cut.wood, cut.count, cut.spares) for cut in cuts_in(again.record, Shop(), Wishes())] == [(WALNUT, 3, 0)]
    ((alike, _),) = again.wanted
    (cut,) = cuts_in(again.record, Shop(), Wishes())
    assert (cut.length, cut.width, cut.ripped, cut.thickness) == (
        alike.length, alike.gauged, alike.width, alike.thickness,
    )  # fmt: skip


def test_boards_that_give_the_strips_are_named_and_one_too_short_is_not(owner, owner_client, job):
    scrap(owner, wood=WALNUT)
    page = reverse("jobs:spoiled", args=[job.pk])
    assert "No free board gives it" in words_of(owner_client.get(page))
    # A strip of 305 mm does not come out of a board of 300.
    boards(owner, 1, wood=WALNUT, thickness=mm(32), length=mm(300))
    assert "No free board gives it" in words_of(owner_client.get(page))
    (long,) = boards(owner, 1, wood=WALNUT, thickness=mm(32), length=mm(400))
    assert f"Out of {long.mark} 150 × 400 mm : each gives it" in words_of(owner_client.get(page))
