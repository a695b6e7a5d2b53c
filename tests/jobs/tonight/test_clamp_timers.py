"""Glue sets by the hours that pass: a timer is right in the nights clocks are changed and around leap days.

Moments of the change: European summer time begins and ends at 01:00 of the world's clock on the last Sundays of March
and October (Directive 2000/84/EC, articles 2 and 3). Leap years: the calendar of 1582.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from shopapp.jobs.tonight.planning import alone_in
from shopapp.jobs.tonight.readers import tonight_of
from shopapp.people.models import Member
from shopapp.plans.models import StepTick
from shopapp.plans.timetable import doing
from shopapp.workshop.readers import the_workshop
from tests.support import tonight as bench
from tests.support import work


@pytest.fixture(scope="module")
def kept(rows_of_this_file):
    owner = Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)
    bench.all_day(owner)
    return bench.begun(owner, work.kept(owner))[1]


@pytest.fixture
def row(kept):
    return bench.first_row(kept)


# When hands left it, by the world's clock; then what the wall shows when the glue's thirty minutes are over.
NIGHTS = [
    ("Europe/Dublin", (2026, 3, 29, 0, 45), "29 Mar 02:15"),
    ("Europe/Dublin", (2026, 10, 25, 0, 45), "25 Oct 01:15"),
    ("Europe/Berlin", (2026, 10, 25, 0, 31), "25 Oct 02:01"),
    ("America/New_York", (2026, 3, 8, 6, 50), "08 Mar 03:20"),
    ("America/New_York", (2026, 11, 1, 5, 50), "01 Nov 01:20"),
    ("Europe/Dublin", (2028, 2, 28, 23, 45), "29 Feb 00:15"),
    ("Europe/Dublin", (2028, 2, 29, 23, 45), "01 Mar 00:15"),
    ("Europe/Dublin", (2027, 2, 28, 23, 45), "01 Mar 00:15"),
    ("Pacific/Auckland", (2026, 12, 31, 10, 45), "01 Jan 00:15"),
]


@pytest.mark.parametrize(("zone", "left", "shown"), NIGHTS)
def test_thirty_minutes_in_clamps_are_thirty_minutes_whatever_is_done_to_the_clock(kept, row, zone, left, shown):
    at = datetime(*left, tzinfo=UTC)
    (alone,) = alone_in(kept.form, date(2026, 1, 1), {row: at})
    assert alone.off - at == timedelta(minutes=30)
    with timezone.override(zone):
        assert timezone.localtime(alone.off).strftime("%d %b %H:%M") == shown


@pytest.mark.parametrize(("zone", "left", "shown"), NIGHTS)
def test_the_job_s_own_page_says_the_same_end(kept, row, zone, left, shown):
    at = datetime(*left, tzinfo=UTC)
    with timezone.override(zone):
        wall = timezone.localtime(at).replace(tzinfo=None)
        (ending,) = doing._clamped(kept, {row: at}, wall)
        assert ending.off.strftime("%d %b %H:%M") == shown


def test_what_was_not_ticked_or_is_left_without_clamps_or_a_place_has_no_timer(kept, row):
    now = timezone.now()
    assert alone_in(kept.form, kept.first, {}) == []
    assert alone_in(kept.form, kept.first, {f"{row}/dry": now, "1/ready/1": now, "9/row/99": now}) == []


def test_oil_that_soaks_is_said_to_be_wiped_and_clamps_to_come_off(kept, row):
    now = timezone.now()
    found = {one.key: one for one in alone_in(kept.form, kept.first, {row: now, "1/coat/1": now})}
    assert (found[row].ended, found[row].left.over) == ("off", "clamps off")
    assert (found["1/coat/1"].ended, found["1/coat/1"].left.over) == ("wipe", "wipe from")


@pytest.mark.parametrize(("zone", "left", "shown"), NIGHTS)
def test_the_page_counts_the_same_in_the_hour_that_comes_twice_or_never(db, kept, row, zone, left, shown):
    at = datetime(*left, tzinfo=UTC)
    StepTick.objects.create(key=kept.key, step=row, words="Row", done=True, at=at)
    with timezone.override(zone):
        for minutes, is_off in ((0, False), (29, False), (30, True), (31, True)):
            (timer,) = tonight_of(timezone.localtime(at + timedelta(minutes=minutes)), the_workshop()).timers
            assert timer.is_off == is_off and timer.millis == round(at.timestamp() * 1000) + 30 * 60_000
