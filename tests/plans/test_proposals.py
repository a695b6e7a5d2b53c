"""Boards proposed from the other end keep what was asked, or say by how much they do not, and are what the reckoning
makes of them."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from planner.measures import Length
from shopapp.plans.proposing import planning
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.week import a_week

WISHES = {"use": "wall", "border_wood": "sycamore", "quantity": "1"}


@pytest.fixture
def design(owner):
    a_week(owner)
    return work.kept(owner).design


def asked(client, design, **wishes):
    return client.get(reverse("plans:proposals", args=[design.pk]), {**WISHES, **wishes})


def test_a_form_that_was_not_sent_yet_asks_for_nothing_and_one_without_a_size_or_a_price_says_so(owner_client, design):
    assert owner_client.get(reverse("plans:proposals", args=[design.pk])).status_code == 200
    answer = asked(owner_client, design, distance="3 m")
    assert answer.status_code == 422 and "how large it may be, or what it may cost" in answer.content.decode()
    assert asked(owner_client, design, length="20").context["form"].errors["length"]


def test_no_board_hangs_wider_or_higher_than_it_may_whichever_way_its_rows_run(owner_client, design):
    found = asked(owner_client, design, length="300", height="310").context["found"]
    assert found.cards
    for card in found.cards:
        wide, high = card.proposal.size
        assert wide <= Length.of_mm(300) and high <= Length.of_mm(310)
        assert (wide.mm, high.mm) == tuple(Length.of_mm(figure["value"][1]).mm for figure in (card.wide, card.high))


def test_what_costs_more_than_it_may_says_by_how_much_and_what_does_not_is_the_first(owner_client, design):
    cards = asked(owner_client, design, length="400", budget="110").context["found"].cards
    for card in cards:
        price = Decimal(card.view.figures["price"]["value"][1])
        over = [words for words in card.proposal.misses if "more than it may cost" in words]
        assert bool(over) == (price > 110) and all(f"{price - 110:.2f}" in words for words in over)
    assert cards[0].proposal.misses == []


def test_a_proposal_opens_as_the_reckoning_that_gave_its_price(owner_client, design):
    card = asked(owner_client, design, budget="150").context["found"].cards[0]
    page = owner_client.get(card.address)
    assert page.context["form"].errors == {}
    assert page.context["view"].figures["price"] == card.view.figures["price"]


def test_so_many_before_a_day_are_as_many_as_trying_every_number_finds(design):
    version, workshop, today = design.versions.get(), the_workshop(), timezone.localdate()
    wishes = {"length": Length.of_mm(160), "height": None, "budget": None, "due": None, "distance": None}
    first = planning.propose(version, {**WISHES, "quantity": 1, **wishes}, workshop, today)[0]
    due = first.ready.date() + timedelta(days=2)
    count = 0
    while True:
        finish = planning._ready(first.record, count + 1, workshop, today)
        if finish is None or planning.timetable.moment(today, finish).date() > due:
            break
        count += 1
    assert planning.copies_before(first.record, due, workshop, today) == count >= 1


def test_in_a_shop_of_inches_a_proposal_opens_with_the_very_sizes_it_was_reckoned_with(owner_client, design):
    """The saw's scale may be metric all the same: 21 mm is no 0.827 inches. Ten feet across a room are not 120 inches,
    nor three metres."""
    shop = the_workshop()
    shop.unit = "in"
    shop.save()
    answer = asked(owner_client, design, length="16 in", distance="10 ft")
    assert "from 10 ft" in answer.content.decode()
    for card in answer.context["found"].cards:
        opened = owner_client.get(card.address).context["form"].cleaned_data
        for name in ("pitch", "thickness", "side_border", "end_border"):
            assert opened[name] == card.proposal.board[name]
        assert card.told_apart.endswith(" ft")
