"""A design's own page names the one next step, whichever way its picture came."""

from __future__ import annotations

import secrets

import pytest
from django.test import Client
from django.urls import reverse

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design
from shopapp.designs.pictures.actions import bring_picture
from shopapp.people.models import Member
from tests.support.grids import BOAT, keep
from tests.support.shop import add_woods, design_with_pattern, picture, upload


def next_of(client, design) -> str:
    page = client.get(design.get_absolute_url())
    assert page.content.decode().count("button primary") == (1 if page.context["following"] else 0)
    return page.context["following"].words if page.context["following"] else ""


@pytest.fixture
def brought(owner):
    return bring_picture(who=owner, name="Boat", upload=upload(picture(BOAT)))


def test_from_a_picture_to_its_grid_to_its_woods_to_the_board(owner, owner_client, brought):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    assert next_of(owner_client, brought) == ""
    run_waiting_tasks()
    assert next_of(owner_client, brought) == "Look over its grid"
    keep(owner_client, brought)
    assert next_of(owner_client, brought) == "Choose woods"
    drawn = design_with_pattern(owner)
    assert next_of(owner_client, drawn) == "Reckon the board"


def test_a_grid_corrected_after_the_newest_drawing_leads_back_to_the_woods(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    drawn = design_with_pattern(owner)
    keep(owner_client, drawn)
    assert next_of(owner_client, drawn) == "Reckon the board"
    keep(owner_client, drawn, "dt", base=1)
    assert next_of(owner_client, drawn) == "Choose woods anew"


def test_a_picture_that_cannot_be_read_leads_to_another(owner, owner_client):
    torn = bring_picture(who=owner, name="Torn", upload=upload(picture()[:60]))
    run_waiting_tasks()
    assert next_of(owner_client, torn) == "Bring another picture"


def test_a_picture_without_a_grid_leads_to_its_reduction(owner, owner_client):
    fine = bring_picture(who=owner, name="Fine", upload=upload(picture("ky" * 101, 1)))
    run_waiting_tasks()
    assert next_of(owner_client, fine) == "Reduce it to a chosen grid"


def test_a_blank_grid_leads_to_the_bench(owner_client):
    typed = {"name": "Reeds", "rows": "8", "columns": "8", "form_key": secrets.token_urlsafe(24)}
    owner_client.post(reverse("designs:blank"), typed)
    design = Design.objects.get()
    assert next_of(owner_client, design) == "Draw at the bench"
    words = owner_client.get(design.get_absolute_url()).content.decode()
    assert "Whose picture it is" not in words and "being read" not in words
    # There is no picture to lay a grid over, to reduce or to ask about.
    for page in ("designs:grid", "designs:reduce"):
        assert owner_client.get(reverse(page, args=[design.pk])).url == design.get_absolute_url()


def test_a_helper_is_not_led_to_the_prices(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    helper = Client()
    helper.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    assert next_of(helper, design) == "Draw at the bench"
    assert "plans/reckon" not in helper.get(design.get_absolute_url()).content.decode()


def test_whose_the_picture_is_stands_on_the_page_and_on_a_plan_of_it(owner, owner_client):
    from shopapp.plans.actions import keep_plan
    from shopapp.workshop.readers import the_workshop
    from tests.support.shop import board

    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    asked = "Nobody has said yet whose the picture is; that is asked before it is quoted or listed."
    assert "Whose picture it is: not known" in owner_client.get(design.get_absolute_url()).content.decode()
    assert asked in owner_client.get(plan.get_absolute_url()).content.decode()
    Design.objects.update(rights="open", rights_note="CC0")
    assert "under an open licence: CC0" in owner_client.get(design.get_absolute_url()).content.decode()
    assert "quoted or listed" not in owner_client.get(plan.get_absolute_url()).content.decode()
