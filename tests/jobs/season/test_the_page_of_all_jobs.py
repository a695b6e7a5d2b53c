"""One page of all jobs: by date and state, judged together, without a customer's name or money for a helper."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.cache import cache
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from shopapp.jobs.actions import accept_quote
from shopapp.jobs.models import Job
from shopapp.jobs.season import asked, judging, planning
from shopapp.people.models import Member
from shopapp.schedule.models import Booking
from tests.support import season, tonight, work

PAGE = "/jobs/season/"


@pytest.fixture(autouse=True)
def nothing_is_kept_of_another_test():
    cache.clear()


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def flag(owner):
    return work.kept(owner)


@pytest.fixture
def plan(owner, flag, db):
    """In a shop that has hours."""
    season.five_evenings(owner)
    return flag


def in_days(many: int):
    return timezone.localdate() + timedelta(days=many)


def text_of(client, address: str = PAGE) -> str:
    return client.get(address).content.decode()


def test_the_list_comes_at_once_and_leads_to_what_the_season_makes_of_it(owner, owner_client, plan):
    work.job(owner, plan, label="Flag", due=in_days(90))
    page = text_of(owner_client, reverse("jobs:jobs") + "?kind=gift")
    assert 'hx-get="/jobs/season/?kind=gift"' in page and 'href="/jobs/season/?kind=gift"' in page
    assert "likely ready" not in page and "likely ready" in text_of(owner_client, f"{PAGE}?kind=gift")


def test_what_is_late_says_so_with_its_reason_and_its_mend(owner, owner_client, plan):
    work.job(owner, plan, label="Flag", due=in_days(90))
    work.job(owner, plan, label="Pennant", due=in_days(4))
    page = text_of(owner_client)
    assert "Of two jobs planned together one is late." in page
    assert "Late:</strong>" in page and "days wood settling" in page
    assert "with all its wood here and settled today" in page or "Agree on another day." in page
    assert page.index("Pennant") < page.index("Flag")


def test_jobs_that_cannot_be_planned_are_left_out_of_the_sum_and_say_why(owner, owner_client, plan):
    work.job(owner, label="No plan", due=in_days(3))
    work.move(owner, work.job(owner, plan, label="Ready"), "under way", "finished")
    page = text_of(owner_client)
    assert "it has no plan" in page and "nothing is left to make" in page
    assert "No job in hand could be planned." in page


def test_a_day_of_a_job_nobody_could_plan_is_not_said_to_be_kept(owner, owner_client, plan):
    work.job(owner, plan, label="Flag", due=in_days(90))
    assert "Every job that has a day is in time" in text_of(owner_client)
    work.job(owner, label="No plan", due=in_days(3))
    page = text_of(owner_client)
    assert "Every job that has a day" not in page
    assert "What could be planned is in time, at the careful estimate too; one that has a day could not be." in page


def test_one_job_alone_is_told_of_as_one(owner, owner_client, plan):
    work.job(owner, plan, label="Flag", due=in_days(4))
    page = text_of(owner_client)
    assert "The one job that could be planned is late." in page and "One board by" in page


def test_a_shop_without_hours_says_so_and_judges_nothing(owner, owner_client, flag):
    work.job(owner, flag, label="Flag", due=in_days(3))
    page = text_of(owner_client)
    assert "nobody is in the shop in these weeks" in page and "Late:" not in page


def test_hours_that_others_booked_are_not_free_and_those_of_the_jobs_themselves_are(owner, owner_client, plan):
    job = work.job(owner, plan, label="Flag", due=in_days(90))

    def sessions():
        return asked.asked(list(Job.objects.all()), timezone.localtime()).shop.sessions

    free = sessions()
    day = next(in_days(n) for n in range(1, 9) if in_days(n).weekday() == 2)
    Booking.objects.create(on=day, starts=19 * 60, ends=20 * 60, key=job.key, label="Flag", words="making")
    assert sessions() == free
    Booking.objects.create(on=day, starts=19 * 60, ends=20 * 60, key="fair", label="Fair", words="a stall")
    assert sum(b - a for a, b in sessions()) == sum(b - a for a, b in free) - 12


def test_what_is_ticked_is_done_and_what_a_timetable_says_is_here_is_here(owner, flag, db):
    tonight.all_day(owner)
    making, kept = tonight.rows_due(owner, flag)
    tonight.glue_row(owner, making, kept, tonight.first_row(kept))
    seen = asked.asked(list(Job.objects.all()), timezone.localtime())
    job = Job.objects.get()
    assert seen.settled == {job.pk} and tonight.first_row(kept)[1:] in seen.ticked[job.pk]
    (board,) = seen.boards()
    left = planning._work([board], seen.shop, careful=False)
    assert not {step.kind for step in left.steps if not step.running} & {"wood", "settle", "ready", "cut", "sort"}
    assert planning.plan([board], seen.shop).faults == ()


def test_it_is_reckoned_once_and_anew_when_what_it_follows_from_is_otherwise(owner, owner_client, plan, monkeypatch):
    reckoned = []
    real = judging.judge
    monkeypatch.setattr(judging, "judge", lambda *given: reckoned.append(1) or real(*given))
    job = work.job(owner, plan, label="Flag", due=in_days(90))
    for _ in range(2):
        text_of(owner_client)
    assert len(reckoned) == 1
    Job.objects.filter(pk=job.pk).update(due=in_days(91))
    text_of(owner_client)
    assert len(reckoned) == 2
    Booking.objects.create(on=in_days(1), starts=0, ends=1439, key="x", label="x", words="x")
    Booking.objects.create(on=in_days(4), starts=0, ends=1439, key="x", label="x", words="x")
    text_of(owner_client)
    assert len(reckoned) == 3


def test_looking_writes_nothing(owner, owner_client, plan):
    work.job(owner, plan, label="Flag", due=in_days(30))
    with CaptureQueriesContext(connection) as asked_for:
        for address in ("/jobs/", PAGE, f"{PAGE}?by={in_days(40)}"):
            assert owner_client.get(address).status_code == 200
    assert not [q["sql"] for q in asked_for if q["sql"].split()[0] in ("INSERT", "UPDATE", "DELETE")]


def test_a_helper_sees_days_and_labels_and_neither_a_name_nor_money(owner, client, plan):
    quote = work.quote(owner, plan)
    accept_quote(who=owner, quote=quote, label="Flag", due=in_days(5), name="Wren Attwater")
    client.force_login(Member.objects.create_user("tam", password="x", role=Member.Role.HELPER))
    page = text_of(client)
    assert "Flag" in page and "Late:" in page
    assert "Attwater" not in page and "€" not in page and "240" not in page and "/quotes/" not in page


@pytest.mark.parametrize("by", ["x", "2026-13-01", "2000-01-01", "١٢", "9" * 40, "<b>", "1e9"])
def test_a_day_that_is_none_or_over_is_told_and_what_was_typed_stays(owner, owner_client, plan, by):
    work.job(owner, plan, label="Flag", due=in_days(30))
    answer = owner_client.get(PAGE, {"by": by, "kind": "gift", "state": "\x00"})
    page = answer.content.decode()
    assert answer.status_code == 422 and "Flag" in page
    assert "This is no day." in page or "This day is over." in page
    assert answer.context["form"]["by"].value() == by[:20]


def test_a_season_is_looked_at_for_a_day_and_keeps_the_filter(owner, owner_client, plan):
    for n in range(3):
        work.job(owner, plan, label=f"Flag {n}", due=in_days(12 + n))
    page = text_of(owner_client, f"{PAGE}?by={in_days(20)}&kind=gift")
    assert "Three boards by" in page and "too many" in page
    assert '<input type="hidden" name="kind" value="gift">' in page


def test_the_season_takes_as_many_queries_for_many_jobs_as_for_few(owner, owner_client, plan):
    def queries() -> int:
        with CaptureQueriesContext(connection) as asked_for:
            owner_client.get(PAGE)
        return len(asked_for)

    for n in range(2):
        work.job(owner, plan, label=f"Flag {n}", due=in_days(30))
    few = queries()
    for n in range(6):
        work.job(owner, plan if n % 2 else work.beside(owner, plan), label=f"More {n}", due=in_days(40 + n))
    assert queries() == few <= 30


def test_what_is_mended_is_listed_and_left_out_of_the_sum_and_a_remake_is_planned(owner, owner_client, plan):
    for kind in Job.Kind.values:
        job = work.job(owner, plan, label=f"The {kind}", due=in_days(90))
        Job.objects.filter(pk=job.pk).update(kind=kind)
    page = text_of(owner_client, f"{PAGE}?by={in_days(95)}")
    assert all(f"The {kind}" in page for kind in Job.Kind.values)
    assert page.count("not what is mended of one") == 2 and page.count("likely ready") == 4
    assert "Four boards by" in page
