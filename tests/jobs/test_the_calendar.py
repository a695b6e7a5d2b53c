"""Evenings, due days, rests and worked time around leap days and the nights clocks are changed: sessions stand at the
hours that were written, glue and oil and hands go by the hours that pass.

Clocks go forward at 01:00 UTC on the last Sunday of March and back at 01:00 UTC on the last of October (Directive
2000/84/EC, articles 2 and 3). A year has a 29th of February where it is divided by four, of the centuries only those
divided by 400 (the calendar of 1582): 2028 has one, 2027 and 2100 have none.
"""

from __future__ import annotations

import secrets
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from shopapp.jobs.models import Job
from shopapp.jobs.readers import lines_of
from shopapp.jobs.stages.planning import Rest
from shopapp.jobs.tonight import running
from shopapp.people.models import Member
from shopapp.plans.timetable.planning import moment, slot_at
from shopapp.schedule.actions import add_sessions
from shopapp.schedule.models import TimeEntry
from shopapp.schedule.planning import days_between, sessions_between
from tests.support import tonight as bench
from tests.support import work

HERE = ZoneInfo("Europe/Amsterdam")
# The week of each, begun on the Friday before.
SPRING, AUTUMN, LEAP, NO_LEAP = date(2027, 3, 26), date(2027, 10, 29), date(2028, 2, 25), date(2100, 2, 26)
A_DAY = timedelta(days=1)


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture
def evenings(db, owner):
    """Weekday evenings from 19 to 22 o'clock, Saturdays from 9 to 17."""
    add_sessions(who=owner, weekdays=range(5), values={"starts": 19 * 60, "ends": 22 * 60})
    add_sessions(who=owner, weekdays=[5], values={"starts": 9 * 60, "ends": 17 * 60})


@pytest.mark.parametrize("first", [SPRING, AUTUMN, LEAP, NO_LEAP])
def test_sessions_stand_at_their_hours_by_the_clock_on_the_wall_in_every_week(evenings, first):
    wanted = []
    for n in range(14):
        day = first + n * A_DAY
        if day.weekday() < 5:
            wanted.append((datetime.combine(day, time(19)), datetime.combine(day, time(22))))
        elif day.weekday() == 5:
            wanted.append((datetime.combine(day, time(9)), datetime.combine(day, time(17))))
    found = sessions_between(first, 2, people=1)
    assert [(moment(first, one), moment(first, other)) for one, other in found] == wanted


def test_the_29th_of_february_is_a_day_of_its_week_in_a_leap_year_alone(evenings):
    by_day = {day.day: len(day.hours) for day in days_between(LEAP, 1)}
    # A Tuesday, with its evening; the day after is the 1st of March.
    assert by_day[date(2028, 2, 29)] == 1 and date(2028, 2, 29).weekday() == 1
    days = [day.day for day in days_between(NO_LEAP, 1)]
    assert days[days.index(date(2100, 2, 28)) + 1] == date(2100, 3, 1)


@pytest.mark.parametrize("first", [SPRING, AUTUMN, LEAP])
def test_a_moment_finds_the_slot_that_stands_at_it_on_the_wall(first):
    """Every five minutes of four days by the world's clock; in the hour that comes twice both find the same slot."""
    with timezone.override(HERE):
        at = datetime.combine(first, time(), tzinfo=HERE).astimezone(UTC)
        for n in range(4 * 288):
            now = at + timedelta(minutes=5 * n)
            wall = now.astimezone(HERE).replace(tzinfo=None)
            assert moment(first, slot_at(first, now)) == wall


@pytest.mark.parametrize(
    ("begun", "wall"),
    [
        (datetime(2027, 3, 27, 20, 0), "2027-03-29 21:00"),
        (datetime(2027, 10, 30, 20, 0), "2027-11-01 19:00"),
        (datetime(2028, 2, 28, 20, 0), "2028-03-01 20:00"),
        (datetime(2027, 2, 27, 20, 0), "2027-03-01 20:00"),
    ],
)
def test_wood_that_rests_two_days_has_rested_48_hours_whatever_the_clock_did(begun, wall):
    rest = Rest("rested", "rough milled", {"1/rough": 2 * 24 * 60}, frozenset())
    over = rest.over({"1/rough": begun.replace(tzinfo=HERE).astimezone(UTC)})
    assert f"{over.astimezone(HERE):%Y-%m-%d %H:%M}" == wall
    assert rest.over({}) is None


@pytest.fixture(scope="module")
def due(owner):
    bench.all_day(owner)
    return bench.rows_due(owner, work.kept(owner), "Flag for the quay")


@pytest.mark.parametrize(
    ("begun", "ended", "on", "minutes"),
    [
        # The day is the shop's, not the world's: half past midnight is on the 28th here, on the 27th in Greenwich.
        ("2027-03-27 23:30", "2027-03-28 01:30", date(2027, 3, 28), 120),
        # From half past one to half past three by the wall: one hour in spring, three in autumn.
        ("2027-03-28 00:30", "2027-03-28 01:30", date(2027, 3, 28), 60),
        ("2027-10-30 23:30", "2027-10-31 02:30", date(2027, 10, 31), 180),
        # Over midnight it belongs to the evening it was begun on.
        ("2028-02-29 21:50", "2028-02-29 23:10", date(2028, 2, 29), 80),
        ("2027-12-31 22:40", "2027-12-31 23:25", date(2027, 12, 31), 45),
    ],
)
def test_time_is_written_on_the_day_it_was_begun_here_with_the_minutes_that_passed(
    db, owner, due, begun, ended, on, minutes
):
    making, kept = due
    job = Job.objects.get(pk=int(making.key.split()[1]))
    from_, until = (datetime.fromisoformat(text).replace(tzinfo=UTC) for text in (begun, ended))
    named = {"who": owner, "job": job, "board": 1, "operation": "row_glue", "token": secrets.token_urlsafe(24)}
    with timezone.override(HERE):
        running.begin(kept=kept, at=from_, **named)
        running.end(kind="stop", at=until, **named)
    entry = TimeEntry.objects.get()
    assert (entry.on, entry.minutes) == (on, minutes)


@pytest.mark.parametrize(
    ("due_on", "today", "late"),
    [
        (date(2028, 2, 29), date(2028, 2, 29), False),
        (date(2028, 2, 29), date(2028, 3, 1), True),
        (date(2028, 2, 28), date(2028, 2, 29), True),
        (date(2027, 3, 28), date(2027, 3, 28), False),
        (date(2027, 12, 31), date(2028, 1, 1), True),
    ],
)
def test_a_day_is_past_once_the_next_has_begun(db, owner, due_on, today, late):
    job = work.job(owner, None, label="Frame", due=due_on)
    assert [line.late for line in lines_of([job], today)] == [late]
