"""The week is written as a maker keeps it: hours by weekday, days that are different, and what falls from them."""

from __future__ import annotations

import secrets
from datetime import date

import pytest
from django.urls import reverse

from planner.errors import PlannerError
from shopapp.common.models import AuditLine
from shopapp.schedule.actions import add_exception, add_sessions, book_anew
from shopapp.schedule.checks import hours_that_overlap
from shopapp.schedule.models import Booking, SessionException, ShopSession
from shopapp.schedule.planning import days_of, sessions_between
from shopapp.workshop.models import Workshop

MONDAY = date(2026, 11, 30)
DAY = 288


@pytest.fixture
def usual_week(owner):
    add_sessions(who=owner, weekdays=range(5), values={"starts": 19 * 60, "ends": 22 * 60})
    add_sessions(who=owner, weekdays=[5], values={"starts": 9 * 60, "ends": 17 * 60, "people": 2})


def different(owner, first: date, last: date | None = None, **values) -> SessionException:
    return add_exception(who=owner, values={"first": first, "last": last or first, **values})


def test_sessions_are_slots_of_five_minutes_from_the_first_midnight(usual_week):
    evenings = [(day * DAY + 228, day * DAY + 264) for day in range(5)]
    assert sessions_between(MONDAY, 1) == (*evenings, (5 * DAY + 108, 5 * DAY + 204))
    # From a Saturday on, that day comes first; two weeks hold every weekday twice.
    assert sessions_between(date(2026, 12, 5), 1)[0] == (108, 204)
    assert len(sessions_between(MONDAY, 2)) == 12


def test_two_people_work_only_when_two_are_there(usual_week):
    assert sessions_between(MONDAY, 1, people=2) == ((5 * DAY + 108, 5 * DAY + 204),)
    Workshop.objects.update(people=2)
    assert sessions_between(MONDAY, 1) == ((5 * DAY + 108, 5 * DAY + 204),)


def test_a_day_that_is_different_goes_by_its_own_hours_or_none(owner, usual_week):
    different(owner, MONDAY, reason="market")
    different(owner, date(2026, 12, 6), starts=10 * 60, ends=12 * 60)
    different(owner, date(2026, 12, 3), date(2026, 12, 5))
    assert sessions_between(MONDAY, 1) == (
        (DAY + 228, DAY + 264),
        (2 * DAY + 228, 2 * DAY + 264),
        (6 * DAY + 120, 6 * DAY + 144),
    )


def test_sessions_that_touch_are_one_even_over_midnight(owner):
    add_sessions(who=owner, weekdays=[0], values={"starts": 22 * 60, "ends": 1440})
    add_sessions(who=owner, weekdays=[1], values={"starts": 0, "ends": 60})
    assert sessions_between(MONDAY, 1) == ((264, 300),)
    assert days_of(MONDAY, ((264, 300),)) == [(MONDAY, 1320, 1440), (date(2026, 12, 1), 0, 60)]


@pytest.mark.storage
def test_what_others_have_booked_is_cut_out_when_asked_and_booking_anew_replaces(owner, usual_week):
    def evening(starts, ends):
        return Booking(on=MONDAY, starts=starts, ends=ends)

    book_anew(key="job 1", label="Heron", bookings=[evening(19 * 60, 20 * 60)])
    book_anew(key="job 2", label="Otter", bookings=[evening(20 * 60 + 30, 21 * 60)])
    assert sessions_between(MONDAY, 1, besides=["job 2"])[0] == (240, 264)
    assert sessions_between(MONDAY, 1, besides=())[:2] == ((240, 246), (252, 264))
    assert sessions_between(MONDAY, 1)[0] == (228, 264)
    book_anew(key="job 1", label="Heron", bookings=[])
    assert list(Booking.objects.values_list("label", flat=True)) == ["Otter"]


@pytest.mark.storage
def test_hours_that_lie_over_each_other_are_refused_and_nothing_is_written(owner, usual_week):
    with pytest.raises(PlannerError, match="Saturday, 09:00 to 17:00 is in the week already"):
        add_sessions(who=owner, weekdays=[5, 6], values={"starts": 16 * 60, "ends": 18 * 60})
    assert not ShopSession.objects.filter(weekday=6).exists()
    different(owner, MONDAY, date(2026, 12, 2))
    with pytest.raises(PlannerError, match="Something is said of these days already"):
        different(owner, date(2026, 12, 2), starts=60, ends=120)
    assert hours_that_overlap() == []
    ShopSession.objects.create(weekday=5, starts=16 * 60, ends=18 * 60)
    assert hours_that_overlap() == ["Saturday, 09:00 to 17:00 and 16:00 to 18:00 lie over each other."]


def send(client, name: str, *args, **typed):
    return client.post(reverse(name, args=args), {"form_key": secrets.token_urlsafe(24), **typed})


def test_hours_are_added_changed_by_whoever_saw_them_and_taken_out_again(owner_client):
    typed = {"weekdays": ["0", "1"], "starts": "19:00", "ends": "0:00", "people": "1", "who": "Mara"}
    assert send(owner_client, "schedule:add_session", **typed).status_code == 302
    monday, tuesday = ShopSession.objects.all()
    assert monday.from_to == tuesday.from_to == "19:00 to 24:00"
    changed = {"weekday": "0", "starts": "19", "ends": "21.30", "people": "2", "who": "", "edit_version": "1"}
    assert send(owner_client, "schedule:session", monday.pk, **changed).status_code == 302
    late = send(owner_client, "schedule:session", monday.pk, **changed)
    assert late.status_code == 409 and "Somebody else changed these hours" in late.content.decode()
    assert "weekday" not in {name for name, *_ in late.context["conflict_rows"]}
    send(owner_client, "schedule:remove_session", tuesday.pk, edit_version="7")
    assert ShopSession.objects.count() == 2
    send(owner_client, "schedule:remove_session", tuesday.pk, edit_version="1")
    assert [str(row) for row in ShopSession.objects.all()] == ["Monday, 19:00 to 21:30"]
    assert list(AuditLine.objects.order_by("pk").values_list("what", flat=True)) == [
        "The week has Monday, 19:00 to 24:00, Mara.",
        "The week has Tuesday, 19:00 to 24:00, Mara.",
        "The week changed from Monday, 19:00 to 24:00, Mara to Monday, 19:00 to 21:30, 2 people.",
        "Taken out of the week: Tuesday, 19:00 to 24:00.",
    ]


@pytest.mark.parametrize(
    ("name", "typed", "field", "words"),
    [
        ("add_session", {"starts": "19:00", "ends": "22:00", "people": "1"}, "weekdays", "No day is ticked"),
        (
            "add_session",
            {"weekdays": "0", "starts": "22:00", "ends": "19:00", "people": "1"},
            "ends",
            "not after 22:00",
        ),
        ("add_session", {"weekdays": "0", "starts": "25:00", "ends": "7", "people": "1"}, "starts", "no time of day"),
        ("add_session", {"weekdays": "0", "starts": "7", "ends": "8", "people": "0"}, "people", "The least is 1"),
        ("add_exception", {"first": "2999-01-01", "people": "1"}, "first", "Look at the year"),
        ("add_exception", {"first": "{today}", "last": "2020-01-01", "people": "1"}, "last", "before the first"),
        ("add_exception", {"first": "{today}", "starts": "10:00", "people": "1"}, "ends", "One time is missing"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_changes_nothing(owner_client, name, typed, field, words):
    typed = {key: value.format(today=date.today()) for key, value in typed.items()}
    answer = send(owner_client, f"schedule:{name}", **typed)
    assert answer.status_code == 422
    assert words in " ".join(answer.context["form"].errors[field])
    assert not ShopSession.objects.exists() and not SessionException.objects.exists()


def test_an_evening_written_down_does_not_pass_for_the_workshops_settings(usual_week, owner_client):
    assert not owner_client.get("/").context["hour"].settings


def test_a_helper_reads_the_week_and_changes_nothing(owner, usual_week, client):
    from shopapp.people.models import Member

    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    page = client.get(reverse("schedule:week")).content.decode()
    assert "19:00 to 22:00" in page and "Add hours" not in page
    assert send(client, "schedule:remove_session", ShopSession.objects.first().pk, edit_version="1").status_code == 403
    assert ShopSession.objects.count() == 6
