"""Whenever the suite runs, its shop stands where it is morning: all day is left, and midnight is far."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from tests.support.environment import MORNING, where_it_is_morning


@pytest.mark.parametrize("hour", range(24))
def test_at_every_hour_it_is_morning_somewhere(hour):
    now = datetime(2026, 11, 29, hour, 59, tzinfo=UTC)
    assert now.astimezone(ZoneInfo(where_it_is_morning(now))).hour == MORNING


def test_the_shop_of_these_tests_keeps_that_time():
    assert timezone.localtime().hour < 22, "no evening's work would be due today"
