"""Beside its sizes a board has sapwood, a shade, a meter reading with its day, and a day it is fit to mill."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.lumber.models import Delivery, Lot
from tests.support.bought import Buying
from tests.support.rack import supplier
from tests.support.shop import add_woods


@pytest.fixture
def buying(owner_client):
    add_woods("walnut-black", "padauk")
    return Buying(owner_client, supplier("Millrace Yard"))


KNOWN = {"sapwood": "on", "shade": "dark, a little violet", "moisture": "11,5", "fit_on": "2026-06-01"}


def test_it_is_kept_with_the_lot_and_shown_on_both_its_pages(buying):
    buying.press("add", **KNOWN)
    buying.press("book")
    lot = Lot.objects.get()
    assert (lot.sapwood, lot.shade, lot.moisture) == (True, "dark, a little violet", Decimal("11.5"))
    assert lot.fit_on == date(2026, 6, 1)
    for address in (Delivery.objects.get().get_absolute_url(), reverse("lumber:piece", args=["W1"])):
        page = buying.client.get(address).content.decode().lower()
        for words in ("sapwood", "dark, a little violet", "11.5\u00a0% on 2 mar 2026", "from 1 jun 2026"):
            assert words in page.replace("11.5 %", "11.5\u00a0%"), (address, words)


def test_a_reading_without_a_day_is_of_the_day_of_the_delivery_and_one_with_a_day_of_its_own(buying):
    buying.press("add", moisture="11.5")
    buying.press("add", moisture="9", moisture_on="2026-03-20")
    buying.press("book")
    assert [lot.moisture_on for lot in Lot.objects.all()] == [date(2026, 3, 2), date(2026, 3, 20)]


def test_the_last_board_s_values_stand_ready_for_the_next(buying):
    form = buying.press("add", **KNOWN, moisture_on="2026-03-20").context["form"]
    assert [form[name].value() for name in ("shade", "moisture", "moisture_on", "fit_on")] == [
        "dark, a little violet", "11,5", "2026-03-20", "2026-06-01",
    ]  # fmt: skip
    assert form["sapwood"].value()


@pytest.mark.parametrize("reading", ["3.9", "30.1", "60"])
def test_a_reading_no_meter_usually_shows_is_asked_and_not_refused(buying, reading):
    answer = buying.press("add", moisture=reading)
    assert "tick that it did show that" in answer.context["form"].errors["moisture"][0]
    assert 'name="reading"' in answer.content.decode() and '<details class="fold" open>' in answer.content.decode()
    assert len(buying.press("add", reading="on").context["lines"]) == 1


@pytest.mark.parametrize("reading", ["4", "30"])
def test_the_usual_readings_are_not_asked(buying, reading):
    assert len(buying.press("add", moisture=reading).context["lines"]) == 1


TOMORROW = (timezone.localdate() + timedelta(days=1)).isoformat()


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"moisture": "0"}, "moisture"),
        ({"moisture": "61", "reading": "on"}, "moisture"),
        ({"moisture": "-3"}, "moisture"),
        ({"moisture": "11.55"}, "moisture"),
        ({"moisture": "1,234"}, "moisture"),
        ({"moisture_on": "2026-03-02"}, "moisture_on"),
        ({"moisture": "11", "moisture_on": TOMORROW}, "moisture_on"),
        ({"moisture": "11", "moisture_on": "0202-03-02"}, "moisture_on"),
        ({"moisture": "11", "moisture_on": "yesterday"}, "moisture_on"),
        ({"moisture": "11", "moisture_on": "2026-03-09", "fit_on": "2026-03-08"}, "fit_on"),
        ({"moisture": "11", "fit_on": "2026-03-01"}, "fit_on"),
        ({"fit_on": "9999-12-31"}, "fit_on"),
        ({"shade": "x" * 41}, "shade"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_stays_as_it_was_typed(buying, changes, field):
    answer = buying.press("add", **changes)
    assert answer.status_code == 422 and answer.context["form"].errors[field]
    assert answer.context["form"][field].value() == changes[field]


def test_the_delivery_says_about_what_it_weighs_by_its_readings(buying):
    # A walnut board of 31.75 by 150 by 2000 mm is 0.009525 m3; of gravity 0.55 at 12 %, 616 kg/m3, it weighs 5.87 kg;
    # at 30 %, swollen by 7.68 % of its volume, gravity 0.508 and 660 kg/m3 (by hand).
    buying.press("add", count="10")
    buying.press("book")
    assert "59 kg" in buying.client.get(Delivery.objects.get().get_absolute_url()).content.decode()
    again = Buying(buying.client, Delivery.objects.get().supplier)
    again.press("add", count="10", moisture="30")
    again.press("book")
    page = buying.client.get(Delivery.objects.first().get_absolute_url()).content.decode()
    assert "at the meter’s reading" in page and "63 kg" in page


def test_of_a_wood_without_a_published_density_no_weight_is_said(buying):
    buying.press("add", wood="wenge")
    buying.press("book")
    assert "Weighs about" not in buying.client.get(Delivery.objects.get().get_absolute_url()).content.decode()


def test_a_board_may_be_fit_long_before_it_was_bought_where_nothing_was_read(buying):
    assert len(buying.press("add", fit_on="2025-03-01").context["lines"]) == 1
