"""Shops that are not the demo, or not yet."""

from __future__ import annotations

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from shopapp.people.models import Member


def test_a_makers_own_shop_is_never_filled(db, settings):
    settings.IS_DEMO = False
    with pytest.raises(CommandError, match="no demo"):
        call_command("fill_demo")
    assert Member.objects.count() == 0


def test_a_new_shop_is_led_through_its_first_hour(owner_client):
    body = owner_client.get("/").content.decode()
    assert "The first hour" in body and "Add the woods you have" in body


def test_the_health_page_says_how_the_database_keeps_its_word(owner_client):
    body = owner_client.get(reverse("home:health")).content.decode()
    assert "guarded" in body and ("SQLite" in body or "PostgreSQL" in body)
