"""A board may start from nothing: a grid of background, drawn on, kept, reckoned."""

from __future__ import annotations

import secrets

import pytest
from django.urls import reverse

from shopapp.designs.models import Design
from shopapp.plans.models import Plan
from tests.designs.test_keeping_from_the_bench import begin, keep
from tests.support.shop import add_woods, typed_board


@pytest.fixture(autouse=True)
def woods(db):
    add_woods("sycamore", "walnut-black")


def blank(client, **typed):
    given = {"name": "Tide bell", "rows": "3", "columns": "4", "form_key": secrets.token_urlsafe(24), **typed}
    return client.post(reverse("designs:blank"), given)


def test_from_a_blank_grid_to_a_kept_plan(owner_client):
    answer = blank(owner_client)
    design = Design.objects.get()
    assert answer.url == reverse("designs:bench", args=[design.pk])
    data = begin(owner_client, design)
    assert data["from"] is None and data["rows"] == ["00000000"] * 3
    assert set(data["woods"]) == {"sycamore", "walnut-black"}
    kept = keep(owner_client, design, "4 -\n1 -, 2 walnut-black, 1 -\n4 -", parent="").json()
    assert (kept["number"], kept["branched_from_older"]) == (1, False)
    board = {**typed_board(), "form_key": secrets.token_urlsafe(24)}
    assert owner_client.post(reverse("plans:reckoning", args=[design.pk]), board).status_code == 302
    assert Plan.objects.get().record["columns"] == 4


def test_its_page_and_the_list_say_what_it_is_before_anything_is_kept(owner_client):
    blank(owner_client)
    assert "a blank grid" in owner_client.get(reverse("designs:designs")).content.decode()
    assert owner_client.get(Design.objects.get().get_absolute_url()).status_code == 200


def test_nothing_but_background_is_not_kept(owner_client):
    blank(owner_client)
    answer = keep(owner_client, Design.objects.get(), "4 -\n4 -", parent="")
    assert answer.status_code == 422 and "at least one tile of wood" in answer.json()["words"]


def test_two_who_draw_on_the_same_blank_grid_both_keep_theirs(owner_client):
    blank(owner_client)
    design = Design.objects.get()
    keep(owner_client, design, "2 sycamore", parent="")
    answer = keep(owner_client, design, "2 walnut-black", parent="").json()
    assert answer["branched_from_older"] and "from an empty grid" in answer["words"]


@pytest.mark.parametrize("typed", [{"rows": "0"}, {"columns": "201"}, {"rows": "x"}, {"name": ""}])
def test_sizes_out_of_range_and_a_missing_name_are_said_beside_their_field(owner_client, typed):
    answer = blank(owner_client, **typed)
    assert answer.status_code == 422 and set(answer.context["form"].errors) == set(typed)
    assert Design.objects.count() == 0


def test_a_blank_grid_sent_twice_is_begun_once(owner_client):
    key = secrets.token_urlsafe(24)
    blank(owner_client, form_key=key)
    assert blank(owner_client, form_key=key).status_code == 302
    assert Design.objects.count() == 1
