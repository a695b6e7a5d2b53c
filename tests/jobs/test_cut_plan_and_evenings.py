"""A rough length ticked on the cut plan and a step of sawing ticked in the evenings are two entries: each page says
what the other has not, and ticks it only when somebody says so."""

from __future__ import annotations

import re
import secrets

import pytest
from django.urls import reverse

from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.promises import bring_back_whole
from shopapp.people.models import Member
from shopapp.plans.cutting.doing.actions import report, start
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.models import CutEntry, StepTick
from shopapp.plans.timetable import planning as timetables
from shopapp.plans.timetable.actions import tick
from tests.support import work
from tests.support.evenings import kept
from tests.support.sawing import kept_job
from tests.support.week import a_week, on_the_wall

SAWING = ("rough", "rip", "gauge", "cut")


class Shop:
    """A job with cut plan and evenings kept, its boards out."""

    def __init__(self, owner) -> None:
        self.owner = owner
        self.cutting, self.sheet = kept_job(owner)
        self.job = work.move(owner, Job.objects.get(), "under way")
        self.making = making_of_job(self.job.pk)
        self.kept = kept(owner, self.making)
        start(who=owner, cutting=self.cutting, sheet=self.sheet)
        self.rough = [one.name for board in laid_out(self.sheet.form).boards for one in board.ticks]

    @property
    def steps(self) -> list[str]:
        return [key for key in timetables.words_of(self.kept.form) if key.split("/")[1] in SAWING]

    def crosscut(self) -> None:
        for step in self.steps:
            if "/cut/" in step:
                tick(who=self.owner, making=self.making, kept=self.kept, step=step, done=True)

    def saw(self) -> None:
        for board in laid_out(self.sheet.form).boards:
            report(who=self.owner, cutting=self.cutting, sheet=self.sheet, board=board.mark, rough=None)

    def pages(self) -> list[str]:
        named = [reverse(f"jobs:{name}", args=[self.job.pk]) for name in ("job", "cut_doing", "timetable_doing")]
        return [*named, reverse("jobs:tonight")]


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def shop(owner):
    a_week(owner), on_the_wall(owner)
    return Shop(owner)


def offered(client, address: str) -> list[str]:
    """What the button says of what was read, on a page."""
    return re.findall(r'name="agree" value="(\w+)"', client.get(address).content.decode())


def press(client, shop, seen: str, **typed):
    given = {"agree": seen, "form_key": secrets.token_urlsafe(24), **typed}
    return client.post(reverse("jobs:agree", args=[shop.job.pk]), given)


def test_ticked_as_crosscut_it_is_said_what_the_cut_plan_has_not_and_ticked_there_by_a_press(owner_client, shop):
    assert [offered(owner_client, address) for address in shop.pages()] == [[], [], [], []]
    shop.crosscut()
    for address in shop.pages():
        body = owner_client.get(address).content.decode()
        assert "the evenings say that all is crosscut" in body.lower(), address
        assert all(name in body for name in shop.rough)
    assert not CutEntry.objects.filter(kind="cut").exists()
    (seen,) = offered(owner_client, shop.pages()[0])
    answer = press(owner_client, shop, seen, **{"from": "cut"})
    assert answer.url == reverse("jobs:cut_doing", args=[shop.job.pk])
    assert CutEntry.objects.filter(kind="cut").count() == len(shop.rough)
    # Read again, it stands otherwise: nothing is added. What is left to say is of the steps before.
    assert press(owner_client, shop, seen).status_code == 422
    assert CutEntry.objects.filter(kind="cut").count() == len(shop.rough)
    open_steps = [step for step in shop.steps if "/cut/" not in step]
    body = owner_client.get(shop.pages()[0]).content.decode()
    assert all(timetables.words_of(shop.kept.form)[step] in body for step in open_steps)


def test_with_every_rough_length_ticked_the_steps_of_its_sawing_are_offered_and_ticked_by_a_press(owner_client, shop):
    shop.saw()
    assert not StepTick.objects.exists()
    seen = {one for address in shop.pages() for one in offered(owner_client, address)}
    assert len(seen) == 1
    assert press(owner_client, shop, *seen, **{"from": "tonight"}).url == reverse("jobs:tonight")
    assert set(StepTick.objects.values_list("step", "done")) == {(step, True) for step in shop.steps}
    assert [offered(owner_client, address) for address in shop.pages()] == [[], [], [], []]
    # A tick taken back is an entry, and the offer stands again.
    tick(who=shop.owner, making=shop.making, kept=shop.kept, step=shop.steps[-1], done=False)
    assert len(offered(owner_client, shop.pages()[0])) == 1


def test_cuts_of_a_board_that_is_not_out_are_ticked_neither_and_no_other(owner_client, shop):
    shop.crosscut()
    last = laid_out(shop.sheet.form).boards[-1].mark
    bring_back_whole(who=shop.owner, piece=StockPiece.objects.select_related("demand").get(mark=last))
    (seen,) = offered(owner_client, shop.pages()[0])
    answer = press(owner_client, shop, seen)
    assert answer.status_code == 409 and f"{last} is not out for Flag." in answer.content.decode()
    assert not CutEntry.objects.filter(kind="cut").exists()
