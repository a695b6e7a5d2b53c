"""What a tablet sends is written once, when it was done, by whoever did it; what does not go is refused in words."""

from __future__ import annotations

import secrets
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.people.models import Member
from shopapp.plans.models import KeptTimetable, StepTick
from shopapp.plans.timetable.actions import plan_the_rest
from shopapp.schedule.models import TimeEntry
from tests.rules.test_no_input_breaks_a_page import NOT_OURS, ODD
from tests.support import tonight as bench
from tests.support import work
from tests.support.evenings import kept as kept_evenings

SEND = reverse("jobs:tonight_send")


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def due(owner):
    bench.all_day(owner)
    return bench.rows_due(owner, work.kept(owner), "Flag for the quay")


@pytest.fixture
def sends(db, client, owner, due):
    """Sends one thing as the owner's tablet would; gives the code and the words."""
    making, kept = due
    step = bench.first_row(kept)
    job = making.key.split()[1]

    def send(by=owner, **changes) -> tuple[int, dict]:
        client.force_login(by)
        given = {
            "kind": "tick", "job": job, "timetable": kept.pk, "step": f"{step}/dry", "done": "1", "who": by.pk,
            "form_key": secrets.token_urlsafe(24), **changes,
        }  # fmt: skip
        answer = client.post(SEND, given)
        return answer.status_code, answer.json()

    send.step, send.kept, send.making = step, kept, making
    return send


def many() -> tuple[int, int]:
    """Ticks of this file's tests, and entries of time."""
    return StepTick.objects.filter(step__contains="row").count(), TimeEntry.objects.count()


def test_sent_twice_with_one_key_it_is_written_once(sends):
    key = secrets.token_urlsafe(24)
    assert sends(form_key=key)[1]["state"] == "written"
    assert sends(form_key=key) == (200, {"state": "already", "words": "That was written down before."})
    time = {"kind": "time", "operation": "row_glue", "minutes": "12", "form_key": secrets.token_urlsafe(24)}
    assert [sends(**time)[1]["state"] for _ in range(3)] == ["written", "already", "already"]
    assert many() == (1, 1)


def test_a_whole_evening_sent_again_in_its_order_leaves_every_tick_and_every_minute_as_it_was(sends):
    evening = [
        {"form_key": secrets.token_urlsafe(24), **one}
        for one in (
            {"step": f"{sends.step}/dry"},
            {"step": sends.step},
            {"kind": "time", "operation": "row_glue", "minutes": "9"},
            {"step": sends.step, "done": "0"},
            {"step": sends.step},
        )
    ]
    first = [sends(**one)[1]["state"] for one in evening]
    before = list(StepTick.objects.values_list("pk", "step", "done", "at"))
    again = [sends(**one)[1]["state"] for one in evening]
    assert (first, again) == (["written"] * 5, ["already"] * 5)
    assert list(StepTick.objects.values_list("pk", "step", "done", "at")) == before and many() == (4, 1)


def test_what_was_written_is_never_said_to_be_refused_whatever_became_of_the_job_since(sends, owner):
    """The answer was lost on its way; meanwhile the rest is planned anew, somebody else signs in, the job is over."""
    first = [{"form_key": secrets.token_urlsafe(24), "step": step} for step in (f"{sends.step}/dry", sends.step)]
    first += [{"form_key": secrets.token_urlsafe(24), "kind": "time", "operation": "row_glue", "minutes": "9"}]
    assert [sends(**one)[1]["state"] for one in first] == ["written"] * 3
    plan_the_rest(who=owner, making=sends.making, kept=sends.kept)
    assert [sends(**one)[1]["state"] for one in first] == ["already"] * 3
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    assert {sends(joss, **{"who": owner.pk, **one})[1]["state"] for one in first} == {"already"}
    job = Job.objects.get(pk=sends.making.key.split()[1])
    work.move(owner, job, "finished", "handed over")
    assert [sends(**one)[1]["state"] for one in first] == ["already"] * 3 and many() == (2, 1)


def test_a_tick_counts_from_when_it_was_done_and_never_from_later_than_now(sends):
    ago = timezone.now() - timedelta(minutes=25)
    sends(at=int(ago.timestamp() * 1000))
    assert abs(StepTick.objects.latest("pk").at - ago) < timedelta(seconds=1)
    sends(step=sends.step, at=int((timezone.now() + timedelta(hours=7)).timestamp() * 1000))
    assert StepTick.objects.latest("pk").at <= timezone.now()
    code, told = sends(step=sends.step, done="0", at="1000")
    assert code == 422 and "more than a month ago" in told["words"] and many() == (2, 0)


def test_who_was_slower_is_told_who_ticked_it_and_when(sends, owner):
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    assert sends(joss)[1]["state"] == "written"
    code, told = sends()
    assert code == 422 and "ticked already by joss" in told["words"] and "nothing was added" in told["words"]
    assert many() == (1, 0)


def test_what_another_did_waits_until_they_are_signed_in(sends, owner):
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    code, told = sends(owner, **{"who": joss.pk})
    assert code == 409 and told["words"].startswith("joss did this") and many() == (0, 0)


def test_a_row_is_not_clamped_before_it_was_counted_dry_however_it_is_sent(sends):
    code, told = sends(step=sends.step)
    assert code == 422 and "not counted dry" in told["words"] and many() == (0, 0)


def test_a_step_keeps_its_tick_when_the_rest_was_planned_anew_and_one_that_is_another_now_is_refused(sends, owner):
    again = plan_the_rest(who=owner, making=sends.making, kept=sends.kept)
    assert again.pk != sends.kept.pk and sends()[1]["state"] == "written"
    # The same key stands for other work by now than on the page that was open.
    shown = sends.kept
    other = KeptTimetable.objects.create(
        key=shown.key, label=shown.label, plan=shown.plan, boards=shown.boards, wishes=shown.wishes, first=shown.first,
        form=again.form.replace('"words":"Row', '"words":"Line'), sha256="0" * 64,
    )  # fmt: skip
    assert "Line" in other.form
    code, told = sends(step=sends.step, timetable=shown.pk)
    assert code == 422 and "planned anew meanwhile" in told["words"]


def test_time_goes_to_the_board_it_was_worked_at_on_the_day_it_was_begun(sends, owner):
    plan = sends.making.plan
    one, other = (work.move(owner, work.job(owner, plan, label=name), "under way") for name in ("First", "Second"))
    joint = kept_evenings(owner, making_of_job(one.pk), in_hand=True, together=[other.key])
    given = {"kind": "time", "operation": "joint", "job": one.pk, "timetable": joint.pk}
    now = timezone.now()
    assert sends(**given, minutes="15", board="2", at=int(now.timestamp() * 1000))[0] == 200
    entry = TimeEntry.objects.get()
    assert (entry.key, entry.label, entry.minutes, entry.by) == (other.key, "Second", 15, owner)
    assert entry.on == timezone.localtime(now - timedelta(minutes=15)).date() and entry.planned
    assert sends(**given, minutes="15", board="3")[0] == 422
    for minutes in ("0", "1441", "-3", "x"):
        assert sends(**given, minutes=minutes)[0] == 422
    assert sends(**{**given, "operation": "sleeping"}, minutes="5")[0] == 422


@pytest.mark.parametrize("name", ["kind", "job", "timetable", "step", "board", "operation", "minutes", "at", "who"])
def test_odd_input_is_answered_in_words(sends, name):
    for odd in ODD:
        for kind in ("tick", "time"):
            code, told = sends(**{"kind": kind, "operation": "joint", "minutes": "5", name: odd})
            assert code in (200, 409, 422) and told["words"] and not NOT_OURS.search(told["words"]), (odd[:20], told)


def test_without_a_key_nothing_is_written_and_a_page_s_odd_button_is_refused(sends, client, owner):
    for key in ("", "short", "x" * 70, "a b" * 10):
        assert sends(form_key=key)[0] == 422
    client.force_login(owner)
    for do in ("", "done", "done:::", "not:1:2:3", "again:1", "done:999999:1:1/row/1", "x" * 3000, "done:1:1:\x00"):
        answer = client.post(reverse("jobs:tonight"), {"do": do, "form_key": secrets.token_urlsafe(24)})
        assert answer.status_code == 422 and "error-summary" in answer.content.decode()
    for asked in ({"step": "\x00"}, {"step": "x" * 5000, "face": "<b>"}, {"face": ["down", "up"]}):
        assert client.get(reverse("jobs:tonight"), asked).status_code == 200
    assert many() == (0, 0)
