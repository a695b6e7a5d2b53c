"""Time that runs at the bench is the shop's, not a tablet's: begun twice it runs once, on another tablet it is stopped,
and what comes late is put where it was done. The clock is turned twice a year, and minutes are those that pass."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.db import DatabaseError, connection, transaction
from django.urls import reverse
from django.utils import timezone

from shopapp.jobs.models import TimerEntry
from shopapp.jobs.tonight.running import all_running, minutes_between, running_of
from shopapp.people.models import Member
from shopapp.schedule.models import TimeEntry
from tests.support import tonight as bench
from tests.support import work

SEND = reverse("jobs:tonight_send")
NOW = datetime(2027, 1, 8, 19, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def due(owner):
    bench.all_day(owner)
    return bench.rows_due(owner, work.kept(owner), "Flag for the quay")


@pytest.fixture
def joss(db):
    return Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)


@pytest.fixture
def sends(db, client, owner, due):
    """Sends one thing as a tablet would, done so many minutes ago; gives the code and the words."""
    making, kept = due
    now = timezone.now()

    def send(kind: str, token: str = "", ago: int = 0, by=owner, operation: str = "row_glue", **changes):
        client.force_login(by)
        given = {
            "kind": kind, "job": making.key.split()[1], "timetable": kept.pk, "board": 1, "operation": operation,
            "token": token, "at": round((now - timedelta(minutes=ago)).timestamp() * 1000), "who": by.pk,
            "form_key": secrets.token_urlsafe(24), **changes,
        }  # fmt: skip
        answer = client.post(SEND, given)
        return answer.status_code, answer.json()["words"]

    return send


def name() -> str:
    return secrets.token_urlsafe(24)


def written() -> list[tuple[str, int]]:
    return list(TimeEntry.objects.order_by("pk").values_list("operation", "minutes"))


def test_begun_on_one_tablet_it_stands_on_another_and_is_stopped_there(sends, client, owner):
    token = name()
    assert "runs since" in sends("begin", token, ago=42)[1]
    page = client.get(reverse("jobs:tonight")).content.decode()
    assert f'data-token="{token}"' in page and "42 min" in page
    assert sends("stop", token, ago=2) == (200, "40 min at “Gluing rows” are written down.")
    assert written() == [("row_glue", 40)] and running_of(owner) is None
    entry = TimerEntry.objects.get(kind="stopped")
    assert entry.time == TimeEntry.objects.get() and entry.ends.token == token
    assert (
        'id="running"' in page and f'data-token="{token}"' not in client.get(reverse("jobs:tonight")).content.decode()
    )


def test_begun_twice_it_runs_once_and_stopped_twice_it_is_written_once(sends):
    token = name()
    sends("begin", token, ago=30)
    assert sends("begin", token, ago=30) == (200, "“Gluing rows” was begun already.")
    assert "and goes on." in sends("begin", name(), ago=10)[1]
    assert TimerEntry.objects.filter(kind="begun").count() == 1
    sends("stop", token)
    assert "was stopped already" in sends("stop", token)[1]
    assert written() == [("row_glue", 30)]


def test_a_tablet_whose_own_time_was_not_needed_stops_the_one_that_runs(sends):
    sends("begin", name(), ago=30)
    mine = name()
    sends("begin", mine, ago=20)
    assert sends("stop", mine) == (200, "30 min at “Gluing rows” are written down.")
    assert written() == [("row_glue", 30)]


def test_who_begins_another_stops_what_ran_before_for_hands_are_at_one_thing(sends, owner):
    sends("begin", name(), ago=50)
    words = sends("begin", name(), ago=20, operation="sand_dm2")[1]
    assert words.startswith("30 min at “Gluing rows” are written down. “")
    assert written() == [("row_glue", 30)] and running_of(owner).operation == "sand_dm2"


def test_what_a_tablet_sends_late_is_put_where_it_was_done(sends, owner):
    """Begun at ten to on a tablet that was away; at half past on another something else was: the first ends there."""
    away, here = name(), name()
    sends("begin", here, ago=20, operation="sand_dm2")
    assert "Something else was begun then." in sends("begin", away, ago=50)[1]
    assert "was stopped already" in sends("stop", away, ago=5)[1]
    sends("stop", here)
    assert written() == [("row_glue", 30), ("sand_dm2", 20)]


def test_two_people_have_each_a_time_of_their_own_and_see_each_others(sends, client, owner, joss):
    sends("begin", name(), ago=10)
    sends("begin", name(), ago=5, by=joss)
    assert {one.entry.who for one in all_running()} == {owner, joss}
    assert "mara is at “Gluing rows”, Flag for the quay, since" in client.get(reverse("jobs:tonight")).content.decode()
    assert sends("stop", running_of(owner).token, by=joss)[1] == "5 min at “Gluing rows” are written down."
    assert TimeEntry.objects.get().by == joss and running_of(owner) is not None


def test_thrown_away_nothing_is_written_down_and_it_stays_in_the_book(sends, owner):
    token = name()
    sends("begin", token, ago=10)
    assert sends("drop", token)[1] == "“Gluing rows” was thrown away; nothing is written down."
    assert written() == [] and running_of(owner) is None and TimerEntry.objects.count() == 2
    assert "was thrown away already" in sends("stop", token)[1]


def test_what_ran_for_days_is_not_written_down_and_can_be_thrown_away(sends, owner):
    token = name()
    sends("begin", token, ago=3 * 24 * 60)
    code, words = sends("stop", token)
    assert code == 422 and "nobody stopped it" in words
    assert sends("begin", name(), operation="sand_dm2")[0] == 422
    assert written() == [] and running_of(owner).token == token
    assert sends("drop", token)[0] == 200 and sends("begin", name(), operation="sand_dm2")[0] == 200


def test_what_nobody_s_page_sends_is_refused(sends):
    for given in ({"token": "short"}, {"token": ""}, {"token": name(), "operation": "dancing"}):
        assert sends("begin", given.pop("token"), **given)[0] == 422
    assert sends("stop", name())[0] == sends("drop", "x\x00")[0] == 422
    assert sends("begin", name(), board=7)[0] == 422
    assert not TimerEntry.objects.exists()


def test_without_scripts_its_buttons_do_the_same(sends, client, owner):
    sends("begin", name(), ago=12)
    running = running_of(owner)
    do = f"stop:{running.job_id}:{running.timetable_id}:{running.token}"
    answer = client.post(reverse("jobs:tonight"), {"do": do, "form_key": name()})
    assert answer.status_code == 302 and TimeEntry.objects.get().minutes in (12, 13, 14)


def test_entries_of_running_times_are_never_changed(sends):
    sends("begin", name(), ago=12)
    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE jobs_timerentry SET operation = 'sand_dm2'")


# Clocks are put forward at 2:00 on the last Sunday of March and back at 3:00 on the last of October, both at 01:00 of
# the world's clock: Directive 2000/84/EC, articles 2 and 3. Begun at 1:30 and stopped at 3:30 by the clock on the wall,
# one hour has passed in spring and three in autumn.
AMSTERDAM = ZoneInfo("Europe/Amsterdam")


@pytest.mark.parametrize(("day", "minutes"), [((2027, 3, 28), 60), ((2027, 10, 31), 180), ((2028, 2, 29), 120)])
def test_minutes_are_those_that_pass_while_clocks_are_turned(day, minutes):
    begun, ended = (datetime(*day, hour, 30, tzinfo=AMSTERDAM) for hour in (1, 3))
    assert minutes_between(begun.astimezone(UTC), ended.astimezone(UTC)) == minutes


def test_a_tap_and_another_are_a_minute_and_a_clock_that_was_set_back_is_none_less():
    assert minutes_between(NOW, NOW) == minutes_between(NOW, NOW - timedelta(hours=1)) == 1
    assert (
        minutes_between(NOW, NOW + timedelta(seconds=89)) == 1
        and minutes_between(NOW, NOW + timedelta(seconds=91)) == 2
    )
