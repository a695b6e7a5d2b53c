"""Drawings stand for good: each has a page, a name that may change, branches, and can be laid on another."""

from __future__ import annotations

import secrets

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shopapp.common.models import AuditLine
from shopapp.designs.bench.actions import keep_drawing
from tests.support.shop import add_woods, design_with_pattern, typed_board


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


@pytest.fixture
def branched(owner, design):
    """Drawing 1 from the woods, and two drawn from it at the bench."""
    keep_drawing(who=owner, design=design, text="2 -, 2 walnut-black, 2 -\n6 -", name="Low", parent=1)
    keep_drawing(who=owner, design=design, text="6 -\n2 -, 2 padauk, 2 -", parent=1)
    return design


def named(client, design, number=1, *, name, was="", key=None):
    data = {"name": name, "was": was, "form_key": key or secrets.token_urlsafe(24)}
    return client.post(reverse("designs:rename", args=[design.pk, number]), data)


def test_the_designs_page_lists_every_drawing_with_what_can_be_done_with_it(owner_client, branched):
    body = owner_client.get(branched.get_absolute_url()).content.decode()
    assert "Drawing 2, Low" in body and "Drawn at the bench from drawing 1" in body
    assert reverse("designs:bench", args=[branched.pk]) + "?from=1" in body
    assert reverse("plans:reckoning", args=[branched.pk]) + "?drawing=2" in body
    assert reverse("designs:difference", args=[branched.pk, 1, 3]) in body


def test_a_drawings_page_says_what_it_came_from_and_what_came_from_it(owner_client, branched):
    first = owner_client.get(reverse("designs:drawing", args=[branched.pk, 1])).content.decode()
    assert "From it came" in first and "drawing 2, Low" in first and "drawing 3" in first
    second = owner_client.get(reverse("designs:drawing", args=[branched.pk, 2])).content.decode()
    assert "from <a" in second and "Black walnut" in second
    assert owner_client.get(reverse("designs:drawing", args=[branched.pk, 9])).status_code == 404


def test_the_name_is_the_one_thing_that_changes_and_the_change_is_written_down(owner, owner_client, design):
    before = design.versions.values().get()
    assert named(owner_client, design, name="As it hangs").url == reverse("designs:drawing", args=[design.pk, 1])
    after = design.versions.values().get()
    assert {key for key in after if after[key] != before[key]} == {"name"} and after["name"] == "As it hangs"
    assert AuditLine.objects.filter(who=owner, what="Drawing 1 of Flag was named “As it hangs”.").exists()


def test_a_name_given_meanwhile_is_shown_before_it_is_replaced(owner_client, design):
    named(owner_client, design, name="Mara's")
    answer = named(owner_client, design, name="Joss's")
    body = answer.content.decode()
    assert answer.status_code == 422 and "Meanwhile it was named “Mara" in body and 'value="Joss' in body
    named(owner_client, design, name="Joss's", was="Mara's")
    assert design.versions.get().name == "Joss's"


def test_a_naming_sent_twice_is_done_once(owner_client, design):
    key = secrets.token_urlsafe(24)
    for _ in range(2):
        assert named(owner_client, design, name="Once", key=key).status_code == 302
    assert AuditLine.objects.filter(what__contains="was named “Once”").count() == 1


def test_a_name_too_long_is_refused_and_kept_in_its_field(owner_client, design):
    answer = named(owner_client, design, name="x" * 61)
    assert answer.status_code == 422 and "x" * 61 in answer.content.decode()
    assert design.versions.get().name == ""


def test_two_branches_are_laid_on_each_other_and_told_in_words(owner_client, branched):
    body = owner_client.get(reverse("designs:difference", args=[branched.pk, 2, 3])).content.decode()
    assert "cells differ" in body and "2 fewer of Black walnut" in body
    assert "2 more" in body and body.count('role="img"') == 2


def test_the_picker_leads_to_the_address_of_its_two_drawings(owner_client, branched):
    address = reverse("designs:difference", args=[branched.pk, 1, 1])
    answer = owner_client.get(address, {"first": "3", "second": "2"})
    assert answer.url == reverse("designs:difference", args=[branched.pk, 3, 2])
    assert owner_client.get(address, {"first": "x", "second": "2"}).status_code == 200
    assert owner_client.get(address, {"first": "3", "second": "99"}, follow=True).status_code == 404


def test_a_branch_is_reckoned_and_kept_though_a_newer_drawing_stands(owner_client, branched):
    reckoning = reverse("plans:reckoning", args=[branched.pk])
    page = owner_client.get(reckoning, {"drawing": "2"})
    assert page.context["version"].number == 2 and page.context["view"].record["rows"] == 2
    assert 'name="drawing" value="2"' in page.content.decode()
    assert owner_client.get(reckoning).context["version"].number == 3
    asked = {**typed_board(), "drawing": "2", "edit_version": "2", "form_key": secrets.token_urlsafe(24)}
    plan = owner_client.get(owner_client.post(reckoning, asked).url).context["plan"]
    assert plan.version.number == 2 and plan.title == "Flag, drawing 2"
    without_scripts = owner_client.post(reckoning, {**typed_board(), "drawing": "2", "reckon": "1"})
    assert "drawing=2" in without_scripts.url
    for odd in ("9", "x", "9" * 30):
        assert owner_client.get(reckoning, {"drawing": odd}).status_code == 404


@pytest.mark.parametrize("page", ["drawing", "difference", "design"])
def test_pages_ask_as_often_with_many_drawings_as_with_few(owner, owner_client, branched, page):
    numbers = {"drawing": [1], "difference": [1, 2], "design": []}[page]
    address = reverse(f"designs:{page}", args=[branched.pk, *numbers])
    counts = []
    for more in (0, 6):
        for i in range(more):
            keep_drawing(who=owner, design=branched, text=f"{i + 1} walnut-black", parent=1)
        with CaptureQueriesContext(connection) as taken:
            assert owner_client.get(address).status_code == 200
        counts.append(len(taken))
    assert counts[0] == counts[1]
