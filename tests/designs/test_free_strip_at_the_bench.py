"""Planks on the bench say beside what is to lay how much strip the free boards of the rack would give."""

from __future__ import annotations

import html
import json
import re

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.lumber.models import StockPiece
from shopapp.lumber.rack.strips import free_strip
from shopapp.workshop.models import Workshop
from tests.designs.test_keeping_from_the_bench import begin
from tests.support.rack import boards
from tests.support.shop import add_woods, design_with_pattern

mm = Length.of_mm


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "padauk")
    return design_with_pattern(owner)


def test_without_a_rack_nothing_is_said_of_what_is_free(design, owner_client):
    assert begin(owner_client, design)["free"] == {"mm": None, "words": ""}


def test_free_boards_count_as_the_strip_they_give_and_others_do_not(owner, owner_client, design):
    boards(owner, 2)
    boards(owner, 1, wood="sycamore")
    StockPiece.objects.filter(wood="sycamore").update(set_aside="a split")
    free = begin(owner_client, design)["free"]
    # By hand: 2000 mm is 1200 and, a kerf of 3 off, 797; of these 50 are trimmed and 100 stay in the hand. 150 mm less
    # 6 gives seven strips of 17.8 (17, less a glue line of 0.1, dressed 0.4, gauged 0.5) with kerfs of 3 between.
    assert free["mm"] == {"walnut-black": str(2 * 7 * (1050 + 647))}
    assert "tiles of 17 mm in a board 20 mm thick" in free["words"]


def test_boards_too_thin_or_too_narrow_for_the_board_give_none(owner):
    boards(owner, 1, thickness=mm(23))
    boards(owner, 1, width=mm(20))
    assert free_strip(mm(17), mm(20), Workshop()).of == {"walnut-black": mm(0)}
    # One of 23 mm rough carries a board of 19, and one 20 wide a tile of 13.
    assert free_strip(mm(17), mm(19), Workshop()).of == {"walnut-black": mm(7 * 1697)}
    assert free_strip(mm(13), mm(20), Workshop()).of == {"walnut-black": mm(1697)}


def test_figures_that_come_in_later_say_what_is_free_for_the_sizes_they_were_reckoned_with(owner, owner_client, design):
    boards(owner, 1)
    asked = {"pattern": design.versions.get().pattern}
    body = owner_client.post(reverse("plans:bench_reckoning", args=[design.pk]), asked).content.decode()
    free = json.loads(html.unescape(re.search(r'data-free="([^"]*)"', body)[1]))
    assert free == begin(owner_client, design)["free"]


def test_the_bench_asks_as_often_with_many_boards_as_with_few(
    owner, owner_client, design, django_assert_max_num_queries
):
    address = reverse("designs:bench", args=[design.pk])
    boards(owner, 1)
    owner_client.get(address)
    with django_assert_max_num_queries(40) as few:
        owner_client.get(address)
    boards(owner, 30)
    with django_assert_max_num_queries(40) as many:
        owner_client.get(address)
    assert len(many) == len(few)
