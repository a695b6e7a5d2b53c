"""A kept board and one being reckoned are seen in real grain; the same picture is sent once, and nothing is written."""

from __future__ import annotations

import html
import io
import re
from datetime import date
from urllib.parse import parse_qsl

import numpy as np
import pytest
from django.urls import reverse
from PIL import Image

from planner.picture.colour import ciede2000, srgb_to_lab
from shopapp.common.models import AuditLine
from shopapp.lumber.models import WoodColour, WoodOnHand
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.shop import board

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


def picture(client, address: str, **asked) -> Image.Image:
    answer = client.get(address, asked)
    assert answer.status_code == 200 and answer.headers["Content-Type"] == "image/png"
    return Image.open(io.BytesIO(answer.content))


def png_of(plan) -> str:
    return reverse("plans:preview_png", args=[plan.pk])


@pytest.mark.parametrize("width", [200, 731, 1600])
def test_it_is_drawn_as_wide_as_it_is_asked_for(owner_client, plan, width):
    assert picture(owner_client, png_of(plan), width=width).width == width


def test_each_look_is_another_picture_and_each_the_same_again(owner_client, plan):
    looks = [{}, {"finish": "dry"}, {"from": "8"}, {"finish": "dry", "from": "8"}]
    seen = [picture(owner_client, png_of(plan), width=300, **look).tobytes() for look in looks * 2]
    assert seen[:4] == seen[4:] and len(set(seen)) == 4


def test_a_browser_that_has_the_picture_is_not_sent_it_again_until_a_dry_sample_changes_it(owner_client, owner, plan):
    asked = {"width": 300, "finish": "dry"}
    first = owner_client.get(png_of(plan), asked)
    again = owner_client.get(png_of(plan), asked, headers={"if-none-match": first.headers["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    for wood in WoodOnHand.objects.all():
        WoodColour.objects.create(
            wood=wood, rgb="#3060c0", state="dry", seen_on=date(2026, 5, 1), taken_by=owner, stands_for_wood=True
        )
    sampled = owner_client.get(png_of(plan), asked, headers={"if-none-match": first.headers["ETag"]})
    assert sampled.status_code == 200
    middle = np.asarray(Image.open(io.BytesIO(sampled.content)).convert("RGB"))[100:200, 100:200].reshape(-1, 3)
    assert ciede2000(srgb_to_lab(middle.mean(axis=0)), srgb_to_lab(np.array([48, 96, 192]))) < 3


def test_that_a_dry_colour_is_estimated_is_said_until_it_is_sampled(owner_client, owner, plan):
    page = reverse("plans:preview", args=[plan.pk])
    words = "dry is estimated from the oiled colour"
    assert words not in owner_client.get(page).content.decode()
    assert words in owner_client.get(page, {"finish": "dry"}).content.decode()
    for wood in WoodOnHand.objects.all():
        WoodColour.objects.create(
            wood=wood, rgb="#c8b090", state="dry", seen_on=date(2026, 5, 1), taken_by=owner, stands_for_wood=True
        )
    assert words not in owner_client.get(page, {"finish": "dry"}).content.decode()


def test_woods_that_melt_together_from_afar_are_named_with_what_to_do(owner_client, owner):
    """Two woods of one colour, beside each other in every row."""
    first = work.kept(owner)
    WoodOnHand.objects.update(finished_rgb="#8a6a4a")
    plain = keep_plan(who=owner, version=first.version, board=board(), workshop=the_workshop())
    page = owner_client.get(reverse("plans:preview", args=[plain.pk]), {"from": "8"}).content.decode()
    assert "melt together from 8 m away" in page and "Choose a wood further from the other" in page


@pytest.mark.parametrize("width", ["0", "6001", "wide", "-5", "9" * 40])
def test_a_width_nobody_can_draw_is_not_found(owner_client, plan, width):
    assert owner_client.get(png_of(plan), {"width": width}).status_code == 404


@pytest.mark.parametrize(
    "asked", [{"finish": "wet"}, {"from": "far"}, {"from": "nan"}, {"from": "-1"}, {"from": "inf"}]
)
def test_a_look_there_is_not_is_the_usual_one(owner_client, plan, asked):
    usual = picture(owner_client, png_of(plan), width=200).tobytes()
    assert picture(owner_client, png_of(plan), width=200, **asked).tobytes() == usual
    assert owner_client.get(reverse("plans:preview", args=[plan.pk]), asked).status_code == 200


def test_the_reckoning_shows_the_board_it_was_asked_for(owner_client, plan):
    page = owner_client.get(reverse("plans:reckoning", args=[plan.design_id])).content.decode()
    address, asked = html.unescape(re.search(r'<img src="([^"]+)"', page)[1]).split("?")
    asked = {**dict(parse_qsl(asked, keep_blank_values=True)), "width": "300"}
    narrow = picture(owner_client, address, **asked)
    wide = picture(owner_client, address, **{**asked, "side_border": "80"})
    assert wide.width / wide.height > narrow.width / narrow.height
    assert owner_client.get(address, {**asked, "pitch": "x"}).status_code == 404


def test_looking_writes_nothing_and_a_saved_picture_has_a_name(owner_client, plan):
    told = AuditLine.objects.count()
    answer = owner_client.get(png_of(plan), {"width": 300, "save": "1"})
    assert answer.headers["Content-Disposition"] == 'attachment; filename="flag-drawing-1-oiled-300.png"'
    assert AuditLine.objects.count() == told
