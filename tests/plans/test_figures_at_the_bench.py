"""While a pattern is drawn, what its board would come to follows; nothing is written and only the owner asks."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planner.measures import Length
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.workshop.readers import the_workshop
from tests.support.shop import add_woods, board, design_with_pattern

ROWS = "5 -\n1 -, 3 walnut-black, 1 -\n5 -"
WRITES = re.compile(r"^\s*(INSERT|UPDATE|DELETE|REPLACE)", re.IGNORECASE)


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


def figures(client, design, pattern=ROWS):
    return client.post(reverse("plans:bench_reckoning", args=[design.pk]), {"pattern": pattern})


def test_size_seam_wood_hours_and_price_of_what_lies_on_the_bench(owner_client, design):
    answer = figures(owner_client, design)
    body = answer.content.decode()
    assert "<html" not in body and body.count("<details") == 7
    # Five columns of 17 mm and two side borders of 51 mm; three rows and two borders of 34 mm.
    assert "187 mm" in body and "119 mm" in body
    # The seam at the left of the run: the rows above and below lie across it, 2 × 17 mm and 2 × 34 mm.
    assert "102 mm" in body and 'data-pitch-mm="17"' in body


def test_the_sizes_are_those_of_the_newest_plan(owner, owner_client, design):
    asked = board(pitch=Length.of_mm(20), side_border=Length.of_mm(40))
    keep_plan(who=owner, version=design.versions.get(), board=asked, workshop=the_workshop())
    body = figures(owner_client, design).content.decode()
    assert "180 mm" in body and "as in the plan kept" in body


def test_a_border_wood_that_ran_out_since_the_plan_stops_nothing(owner, owner_client, design):
    from shopapp.lumber.models import WoodOnHand

    keep_plan(who=owner, version=design.versions.get(), board=board(border_wood="padauk"), workshop=the_workshop())
    WoodOnHand.objects.filter(wood="padauk").update(on_hand=False)
    assert figures(owner_client, design).context["view"].spec["border_wood"] != "padauk"


@pytest.mark.parametrize(
    ("pattern", "words"),
    [
        ("3 -", "all background"),
        ("3 walnut-black\n2 walnut-black", "Row 2 has 2 cells"),
        ("3 walnut-black", "no background at its left and right"),
        ("1 -, 1 purpleheart, 1 -", "Purpleheart is not among the woods on hand"),
        ("", "nothing in the pattern"),
        ("3 Ash", "Line 1 cannot be read"),
    ],
)
def test_what_cannot_be_reckoned_is_said_in_words(owner_client, design, pattern, words):
    answer = figures(owner_client, design, pattern)
    assert answer.status_code == 200 and words in answer.content.decode()


def test_it_writes_nothing_and_asks_as_often_for_a_large_pattern(owner_client, design):
    large = "\n".join(["1 -, " + "1 padauk, 1 walnut-black, " * 20 + "1 -"] * 60)
    counts = set()
    for pattern in (ROWS, large):
        with CaptureQueriesContext(connection) as taken:
            assert "told-error" not in figures(owner_client, design, pattern).content.decode()
        assert not [q["sql"] for q in taken if WRITES.match(q["sql"])]
        counts.add(len(taken))
    assert len(counts) == 1


def test_prices_are_for_the_owner_alone(client, design):
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    assert figures(client, design).status_code == 403
    body = client.get(reverse("designs:bench", args=[design.pk])).content.decode()
    assert '"reckoning": null' in body
