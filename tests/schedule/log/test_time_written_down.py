"""The time log at a job: written with one press, mended and taken back by other entries, and learned from once done."""

from __future__ import annotations

import re
import secrets
from datetime import date
from fractions import Fraction

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.ledger import missing_triggers
from shopapp.people.models import Member
from shopapp.schedule.log import planning
from shopapp.schedule.log.actions import MendedMeanwhile, TimeFacts, log_time, mend_time, say_done, take_back
from shopapp.schedule.log.checks import entries_that_make_no_sense
from shopapp.schedule.models import TimeEntry
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work

PLANNED = {"crosscut": Fraction(40), "row_glue": Fraction(4)}


def key():
    return {"form_key": secrets.token_urlsafe(24)}


def facts(operation="crosscut", minutes=45, **changes):
    return TimeFacts(**{"operation": operation, "minutes": minutes, "on": date(2026, 11, 2), **changes})


def logged(who, given=None, job="job 7", planned=PLANNED):
    return log_time(who=who, key=job, label="Flag", facts=given or facts(by=who), planned=planned)


@pytest.fixture
def helper(db):
    return Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)


def test_an_operation_and_one_press_are_enough(owner, owner_client):
    job = work.job(owner, work.kept(owner))
    here = reverse("jobs:time", args=[job.pk])
    today = timezone.localdate().isoformat()
    answer = owner_client.post(here, {"operation": "crosscut", "quick": "45", "on": today, **key()})
    assert answer.status_code == 302 and answer.url == f"{here}?at=crosscut"
    entry = TimeEntry.objects.get()
    assert (entry.minutes, entry.by, entry.key, entry.label) == (45, owner, job.key, "Flag")
    # The plan's counts stand in the entry: whoever learns from it needs no plan.
    assert Fraction(entry.planned["crosscut"]) == Fraction(job.plan.record["operations"]["crosscut"])
    page = owner_client.get(answer.url)
    assert page.context["form"]["operation"].value() == "crosscut"
    assert "45" in page.content.decode()


@pytest.mark.parametrize(
    ("typed", "minutes"), [("90", 90), ("1:30", 90), ("1 h 30", 90), ("2 h", 120), ("45 min", 45), ("0:20", 20)]
)
def test_minutes_are_read_as_people_write_them(owner, owner_client, typed, minutes):
    job = work.job(owner)
    sent = {"operation": "sand_dm2", "minutes": typed, "on": "2026-11-02", **key()}
    owner_client.post(reverse("jobs:time", args=[job.pk]), sent)
    assert TimeEntry.objects.get().minutes == minutes


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"minutes": "an hour"}, "is no time"),
        ({"minutes": "0"}, "out of reach"),
        ({"minutes": "1:75"}, "is no time"),
        ({"minutes": ""}, "Nothing is written here yet"),
        ({"operation": ""}, "Choose what was done"),
        ({"on": "2030-01-01"}, "has not come"),
        ({"count": "0"}, "nothing done"),
        ({"operation": "whole", "count": "3"}, "told in shares"),
    ],
)
def test_what_cannot_be_kept_is_refused_in_words_and_what_was_typed_stays(owner, owner_client, changes, words):
    job = work.job(owner)
    sent = {"operation": "crosscut", "minutes": "30", "on": "2026-11-02", "note": "kept", **key(), **changes}
    answer = owner_client.post(reverse("jobs:time", args=[job.pk]), sent)
    if not changes.get("operation", "crosscut"):
        # The summary's link leads to the first of the choices.
        assert 'href="#id_operation_0"' in answer.content.decode()
    assert answer.status_code == 422 and words in answer.content.decode() and 'value="kept"' in answer.content.decode()
    assert not TimeEntry.objects.exists()


def test_a_share_is_of_what_the_plan_has(owner, owner_client):
    plan = work.kept(owner)
    here = reverse("plans:time", args=[plan.pk])
    owner_client.post(here, {"operation": "crosscut", "minutes": "30", "count": "50 %", "on": "2026-11-02", **key()})
    entry = TimeEntry.objects.get()
    assert Fraction(entry.count) == Fraction(plan.record["operations"]["crosscut"]) / 2
    assert f"plan {plan.pk}" == entry.key


def test_sent_twice_it_is_written_once(owner, owner_client):
    job = work.job(owner)
    sent = {"operation": "crosscut", "minutes": "30", "on": "2026-11-02", **key()}
    for _ in range(2):
        owner_client.post(reverse("jobs:time", args=[job.pk]), sent)
    assert TimeEntry.objects.count() == 1


def test_the_newest_of_an_entry_counts_and_what_is_taken_back_does_not(owner):
    first = logged(owner)
    second = mend_time(who=owner, entry=first, facts=facts(minutes=60, by=owner), planned=PLANNED)
    assert planning.standing_entries() == [second]
    back = take_back(who=owner, entry=second)
    assert planning.standing_entries() == []
    third = mend_time(who=owner, entry=back, facts=facts(minutes=50, by=owner), planned=PLANNED)
    assert planning.standing_entries() == [third]
    assert TimeEntry.objects.count() == 4 and entries_that_make_no_sense() == []


def test_two_who_mend_one_entry_come_one_after_the_other(owner):
    first = logged(owner)
    mend_time(who=owner, entry=first, facts=facts(minutes=60, by=owner), planned=PLANNED)
    for again in (
        lambda: mend_time(who=owner, entry=first, facts=facts(minutes=90, by=owner), planned=PLANNED),
        lambda: take_back(who=owner, entry=first),
    ):
        with pytest.raises(MendedMeanwhile):
            again()
    assert sum(entry.minutes for entry in planning.standing_entries()) == 60


def test_an_entry_is_mended_and_taken_back_on_its_pages(owner, owner_client):
    job = work.job(owner, work.kept(owner))
    entry = logged(owner, job=job.key)
    page = reverse("jobs:time_entry", args=[job.pk, entry.pk])
    assert owner_client.get(page).context["form"]["minutes"].value() == "45"
    owner_client.post(page, {"operation": "crosscut", "minutes": "50", "on": "2026-11-02", **key()})
    mended = entry.mended_by
    assert mended.minutes == 50
    # The old one's page leads back to the list; what was taken back can be put back.
    assert owner_client.get(page).status_code == 302
    owner_client.post(reverse("jobs:time_back", args=[job.pk, mended.pk]), key())
    shown = owner_client.get(reverse("jobs:time", args=[job.pk])).content.decode()
    assert "Put it back" in shown and shown.count('class="gone"') == 3
    # Another job's address does not reach it.
    other = work.job(owner)
    assert owner_client.get(reverse("jobs:time_entry", args=[other.pk, mended.pk])).status_code == 404


def test_a_helper_writes_their_own_time_and_nobody_elses(owner, helper, client):
    job = work.job(owner)
    client.force_login(helper)
    here = reverse("jobs:time", args=[job.pk])
    client.post(here, {"operation": "oil_dm2", "minutes": "20", "on": "2026-11-02", "by": str(owner.pk), **key()})
    assert TimeEntry.objects.get().by == helper
    of_owner = logged(owner, job=job.key)
    assert client.post(reverse("jobs:time_back", args=[job.pk, of_owner.pk]), key()).status_code == 403
    assert TimeEntry.objects.count() == 2
    assert client.get(reverse("schedule:log")).status_code == 200
    assert client.get(reverse("schedule:times")).status_code == 403


def test_the_owner_writes_a_helpers_time(owner, helper, owner_client):
    job = work.job(owner)
    sent = {"operation": "oil_dm2", "minutes": "20", "on": "2026-11-02", "by": str(helper.pk), **key()}
    owner_client.post(reverse("jobs:time", args=[job.pk]), sent)
    entry = TimeEntry.objects.get()
    assert (entry.by, entry.who) == (helper, owner)


def test_only_what_is_done_is_learned_from(owner):
    logged(owner)
    assert planning.learned(Workshop()).jobs == 0
    say_done(who=owner, key="job 7", label="Flag", operations=["crosscut"], on=date(2026, 11, 3), planned=PLANNED)
    times = planning.learned(Workshop())
    assert (times.jobs, times.jobs_of["crosscut"], times.jobs_of["row_glue"]) == (1, 1, 0)
    # 45 minutes for 40 cuts are more than the default half a minute, and the first job does not decide alone.
    assert Fraction(1, 2) < times.exact["crosscut"] < Fraction(9, 8)
    with pytest.raises(PlannerError):
        say_done(who=owner, key="job 7", label="Flag", operations=[], on=date(2026, 11, 3), planned=PLANNED)


def test_a_job_is_said_to_be_done_with_one_press(owner, owner_client):
    job = work.job(owner, work.kept(owner))
    for operation in ("crosscut", "row_glue"):
        logged(owner, facts(operation, by=owner), job=job.key)
    owner_client.post(reverse("jobs:time", args=[job.pk]), {"do": "done:", **key()})
    assert planning.learned(Workshop()).jobs_of["row_glue"] == 1
    assert owner_client.get(reverse("jobs:time", args=[job.pk])).context["page"].open_operations == []


def test_a_time_set_by_hand_is_used_and_said_and_can_be_given_up(owner, owner_client):
    Workshop.objects.create(pk=1, times={"crosscut": "3/4"})
    logged(owner, facts(finishes=True, by=owner))
    line = next(one for one in planning.own_times(the_workshop()) if one.key == "crosscut")
    assert (line.used["value"], line.by_hand, line.jobs) == (["fraction", "3/4"], Fraction(3, 4), 1)
    assert line.yours != line.by_hand and line.used["source"] == "set by hand"
    # What it rests on is told: 45 minutes for 40 cuts.
    assert [term["figure"]["value"][1] for term in line.used["terms"]] == ["1/2", "9/8"]
    page = owner_client.get(reverse("schedule:times"))
    assert "Set by hand: 0.75 min" in page.content.decode()
    seen = str(page.context["version"])
    owner_client.post(reverse("schedule:use_log", args=["crosscut"]), {"edit_version": seen, **key()})
    assert the_workshop().times == {}
    assert planning.learned(the_workshop()).exact["crosscut"] == line.yours


def test_what_was_learned_is_at_hand_until_the_next_entry(owner, django_assert_num_queries):
    logged(owner, facts(finishes=True, by=owner))
    planning.learned(Workshop())
    with django_assert_num_queries(1):
        before = planning.learned(Workshop())
    logged(owner, facts(finishes=True, by=owner, minutes=20), job="job 8")
    assert planning.learned(Workshop()).jobs == before.jobs + 1


def test_counts_of_an_old_record_are_read_from_the_terms_of_its_hours(owner):
    record = work.kept(owner).record
    counts = planning.counts_of_record(record)
    assert planning.counts_of_record({name: part for name, part in record.items() if name != "operations"}) == counts
    assert counts["setup_job"] == 1 and planning.counts_of_record(None) == {}


@pytest.mark.storage
@pytest.mark.django_db(transaction=True)
def test_nothing_in_the_log_is_changed_or_deleted_and_an_entry_is_mended_once(owner):
    entry = logged(owner)
    for change in (
        lambda: TimeEntry.objects.update(minutes=1),
        lambda: TimeEntry.objects.all().delete(),
        lambda: entry.delete(),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            change()
    mend_time(who=owner, entry=entry, facts=facts(minutes=60, by=owner), planned=PLANNED)
    given = {"key": "job 7", "label": "Flag", "operation": "crosscut", "on": date(2026, 11, 2), "minutes": 5}
    with pytest.raises(IntegrityError), transaction.atomic():
        TimeEntry.objects.create(**given, mends=entry)
    with pytest.raises(IntegrityError), transaction.atomic():
        TimeEntry.objects.create(**{**given, "minutes": 0})
    assert not [name for name in missing_triggers() if "timeentry" in name]


def test_verify_finds_an_entry_of_no_operation_and_one_that_mends_anothers(owner):
    first = logged(owner)
    TimeEntry.objects.create(
        key="job 8", label="Flag", operation="carving", on=date(2026, 11, 2), minutes=5, count="x", mends=first
    )
    assert len(entries_that_make_no_sense()) == 3


def test_the_whole_log_leads_to_where_each_entry_belongs(owner, owner_client):
    job = work.job(owner)
    logged(owner, job=job.key)
    body = owner_client.get(reverse("schedule:log")).content.decode()
    assert re.search(rf'href="{reverse("jobs:time", args=[job.pk])}"', body)
