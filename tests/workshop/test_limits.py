"""Limits that contradict each other are refused; what is published is said beside the maker's own, which rules."""

from __future__ import annotations

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of
from shopapp.workshop.readers import the_workshop
from tests.workshop.test_settings import send


@pytest.mark.parametrize(
    ("key", "typed", "field", "words"),
    [
        ("safe", {"longest_rip": "300"}, "longest_rip", "305 mm"),
        # 400 mm of grip and twice 25 mm of trim are all of 450 mm.
        ("safe", {"longest_rip": "450", "grip": "400"}, "grip", "450 mm"),
        ("allowances", {"rough_end_trim": "550"}, "rough_end_trim", "1200 mm"),
    ],
)
def test_limits_that_leave_nothing_to_cut_are_refused_naming_the_limit(owner_client, key, typed, field, words):
    answer = send(owner_client, key, **typed)
    assert answer.status_code == 422
    assert words in answer.context["form"].errors[field][0]
    assert Workshop.objects.count() == 0


def test_a_limit_that_only_just_leaves_something_is_kept(owner_client):
    assert send(owner_client, "safe", longest_rip="450.5", grip="400").status_code == 302
    assert send(owner_client, "safe", longest_rip="305", grip="100").status_code == 302


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        ("safe", {"shortest_machined": "150"}, "manual"),
        ("safe", {"grip": "75"}, "hold-down on the sled"),
        ("safe", {"rip_kerf": "1/4 in"}, ""),
        ("safe", {"rip_kerf": "3 in"}, "unit you meant"),
        ("allowances", {"glue_line": "0.15"}, ""),
        ("allowances", {"glue_line": "0.2"}, "data sheet"),
    ],
)
def test_less_than_is_published_is_said_on_saving_and_on_the_page_and_the_makers_limit_rules(
    owner_client, key, typed, words
):
    answer = send(owner_client, key, **typed)
    assert answer.status_code == 302
    told = [str(message) for message in owner_client.get(answer.url).context["messages"]]
    said = owner_client.get(reverse("workshop:section", args=[key])).context["form"].minded()
    if words:
        assert any(words in text for text in told)
        assert [s.field.name for s in said] == list(typed) and words in said[0].words and said[0].source
    else:
        assert len(told) == 1 and said == []


def test_the_limit_handed_to_the_planner_is_the_makers_own(owner_client):
    send(owner_client, "safe", shortest_machined="254")
    assert shop_of(the_workshop()).shortest_machined == Length.of_mm(254)


def test_the_defaults_leave_nothing_to_be_said(owner_client):
    for key in ("safe", "allowances", "selling"):
        assert owner_client.get(reverse("workshop:section", args=[key])).context["form"].minded() == []


def test_limits_are_spoken_of_in_the_shops_own_words_for_machines(owner_client):
    send(owner_client, "names", words="planer")
    send(owner_client, "safe", shortest_machined="150")
    body = owner_client.get(reverse("workshop:section", args=["safe"])).content.decode()
    assert "advice for a planer" in body and "jointer" not in body
