"""How to build it: every way of a board on a page, a few lines on the reckoning, and with the plan as it was kept."""

from __future__ import annotations

import re
import secrets
from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planner.measures import Length
from shopapp.plans.models import Plan
from shopapp.workshop.actions import change_settings
from shopapp.workshop.readers import the_workshop
from tests.support.shop import add_woods, design_with_pattern, typed_board


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


def asked_for(client, design, *, live=False, **typed):
    headers = {"HX-Request": "true"} if live else {}
    return client.get(reverse("plans:methods", args=[design.pk]), typed_board(**typed), headers=headers)


def test_every_way_stands_on_the_page_and_the_one_reckoned_is_named(owner_client, design):
    answer = asked_for(owner_client, design)
    compared = answer.context["compared"]
    assert answer.status_code == 200
    assert {way.record["method"] for way in compared.ways} == {"tiles", "runs", "deep", "panels", "slices"}
    assert [way.record["key"] for way in compared.ways if way.is_chosen] == ["runs-rows"]
    assert compared.best.record["words"] in answer.content.decode()


def test_what_is_recommended_is_the_least_that_meets_the_limit(owner_client, design):
    compared = asked_for(owner_client, design).context["compared"]
    totals = [
        Fraction(way.figures["total"]["value"][1])
        for way in compared.ways
        if way.figures and not way.record["refused"] and way.record["meets"]
    ]
    first, second, *_ = sorted(totals)
    assert Fraction(compared.best.figures["total"]["value"][1]) == first
    assert Fraction(compared.difference["value"][1]) == second - first


def test_each_way_s_address_reckons_it_and_the_reckoning_says_the_same_hours(owner_client, design):
    for way in asked_for(owner_client, design).context["compared"].ways:
        if not way.address:
            assert way.record["refused"]
            continue
        view = owner_client.get(way.address).context["view"]
        assert (view.spec["method"], view.record["spec"]["along"]) == (way.record["method"], way.record["along"])
        assert view.figures["hours"]["value"] == way.figures["hours"]["value"]
        # Panels of end grain have no weak seam.
        weakest, carried = view.record["weakest"], way.figures.get("carried")
        assert (weakest and weakest["carried"]) == (carried and carried["value"][1])


def test_what_is_refused_is_seen_beside_the_others_and_never_a_choice(owner_client, design):
    answer = asked_for(owner_client, design)
    for way in answer.context["compared"].ways:
        assert bool(way.address) == (not way.record["refused"])
        if way.figures and way.record["refused"]:
            row = re.search(rf"{re.escape(way.record['words'])}</th>.*?</tr>", answer.content.decode(), re.S)[0]
            assert "refused" in row and "<a" not in row


def test_a_weak_seam_is_told_with_what_would_mend_it_and_the_mend_can_be_reckoned(owner, owner_client, design):
    # So much is kept in the hand that no panel gives a slice.
    changes = {"least_carried": Fraction(3, 4), "grip": Length.of_mm(590)}
    change_settings(who=owner, title="Seams", changes=changes, seen_version=the_workshop().edit_version)
    answer = asked_for(owner_client, design)
    compared = answer.context["compared"]
    assert compared.meeting == 0 and "No way of building this board meets your limit" in answer.content.decode()
    (borders,) = [mend for mend in compared.asked_for.mends if mend.record["kind"] == "borders"]
    view = owner_client.get(borders.address).context["view"]
    assert Fraction(view.record["weakest"]["share"]) == Fraction(borders.record["share"]) >= Fraction(3, 4)


def test_the_published_strength_of_end_grain_stands_there_with_its_source(owner_client, design):
    body = asked_for(owner_client, design).content.decode()
    assert "25 %" in body and "Wood Handbook" in body


def test_the_reckoning_asks_for_a_few_lines_and_gets_a_part_of_a_page(owner_client, design):
    page = owner_client.get(reverse("plans:reckoning", args=[design.pk]), typed_board()).content.decode()
    assert f'hx-get="{reverse("plans:methods", args=[design.pk])}"' in page
    body = asked_for(owner_client, design, live=True, method="tiles").content.decode()
    assert "<html" not in body and "Every way side by side" in body and "Reckon it so" in body


@pytest.mark.parametrize("live", [False, True])
def test_what_cannot_be_read_is_said_and_nothing_breaks(owner_client, design, live):
    answer = asked_for(owner_client, design, live=live, pitch="nonsense")
    assert answer.status_code == (200 if live else 422)
    body = answer.content.decode()
    assert "mend" in body.lower()
    if not live:
        assert reverse("plans:reckoning", args=[design.pk]) in body and "pitch=nonsense" in body


def test_a_pitch_below_the_kerf_is_refused_way_by_way(owner_client, design):
    answer = asked_for(owner_client, design, pitch="2")
    assert answer.status_code == 200 and answer.context["compared"].best is None
    assert "No way of building this board can be made" in answer.content.decode()


def test_a_plan_keeps_what_was_compared_and_shows_it_whatever_is_changed_since(owner, owner_client, design):
    address = reverse("plans:reckoning", args=[design.pk])
    owner_client.post(address, {**typed_board(method="deep"), "form_key": secrets.token_urlsafe(24), "edit_version": 1})
    plan = Plan.objects.get()
    kept = plan.record["methods"]
    assert kept["chosen"] == "deep-rows" and len(kept["ways"]) == 10 and plan.matches_its_hash
    assert len(plan.result) < 300_000
    words = compared_words(owner_client, plan)
    change_settings(who=owner, title="Hour", changes={"hour": 90}, seen_version=the_workshop().edit_version)
    assert compared_words(owner_client, plan) == words


def compared_words(client, plan):
    body = client.get(plan.get_absolute_url()).content.decode()
    return re.search(r"as compared when it was kept</h2>(.*?)</section>", body, re.S)[1]


def test_the_page_takes_a_fixed_number_of_queries(owner, owner_client, design):
    large = design_with_pattern(owner, "\n".join("." + "kyr" * 6 + "." for _ in range(18)), "Large")
    counts = set()
    for one in (design, large):
        with CaptureQueriesContext(connection) as taken:
            assert asked_for(owner_client, one).status_code == 200
        counts.add(len(taken))
    assert len(counts) == 1 and counts.pop() <= 12
