"""A job is written down, changed and moved on, each told in a sentence; an accepted quote makes its job."""

from __future__ import annotations

import secrets
from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import EditConflict
from shopapp.jobs.actions import NEXT, JobFacts, JobMoved, accept_quote, change_job, move_job
from shopapp.jobs.models import Job, JobEvent
from shopapp.jobs.readers import jobs_told_wrongly
from shopapp.lumber.models import Demand
from shopapp.people.models import Member
from shopapp.quotes.actions import QuoteMoved, tell_quote
from shopapp.quotes.models import QuoteEvent
from tests.support import work


@pytest.fixture
def helper(db):
    return Member.objects.create_user("joss", password="x")


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


def press(client, job, state, **changes):
    job.refresh_from_db()
    typed = {"form_key": secrets.token_urlsafe(24), "edit_version": job.edit_version, "state": state, **changes}
    return client.post(reverse("jobs:move", args=[job.pk]), typed)


# --- written down and changed -----------------------------------------------------------------------------------


def test_a_job_is_written_down_with_its_plan_or_without(owner_client, plan):
    page = owner_client.get(f"{reverse('jobs:new')}?plan={plan.pk}")
    assert page.context["form"].initial == {"plan": str(plan.pk), "label": "Flag"}
    typed = {"label": "Flag for Robin", "kind": "gift", "for_whom": "Robin", "due": "2027-03-04", "plan": ""}
    answer = owner_client.post(reverse("jobs:new"), {**typed, "form_key": secrets.token_urlsafe(24)})
    job = Job.objects.get()
    assert answer.url == job.get_absolute_url() and job.plan is None and job.state == "planned"
    assert job.events.get().words == "Flag for Robin was written down: a gift, for Robin, due 4 Mar 2027."
    assert "What it needs is known once it has a kept plan" in owner_client.get(answer.url).content.decode()
    assert Demand.objects.get().label == "Flag for Robin"


def test_a_second_press_writes_no_second_job(owner_client):
    typed = {"label": "Flag", "kind": "gift", "form_key": secrets.token_urlsafe(24)}
    for _ in range(2):
        assert owner_client.post(reverse("jobs:new"), typed).status_code == 302
    assert Job.objects.count() == JobEvent.objects.count() == 1


def test_what_changes_is_told_and_the_rack_learns_the_new_label(owner, plan):
    job = work.job(owner, label="Flag", due=date(2027, 3, 4))
    facts = JobFacts("Pennant", "commission", "Robin", None, plan)
    change_job(who=owner, job=job, facts=facts, seen_version=1)
    assert job.events.first().words == (
        "Flag is called Pennant now. It is a commission, for Robin now. It is due on no day now. "
        f"Its plan is Flag, drawing 1, plan {plan.pk}."
    )
    assert Demand.objects.get().label == "Pennant"
    with pytest.raises(EditConflict):
        change_job(who=owner, job=job, facts=facts, seen_version=1)


def test_two_who_change_a_job_at_once_see_both(owner, owner_client):
    job = work.job(owner)
    address = reverse("jobs:change", args=[job.pk])
    typed = {"label": "Theirs", "kind": "gift", "edit_version": "1"}
    owner_client.post(address, {**typed, "form_key": secrets.token_urlsafe(24)})
    mine = owner_client.post(address, {**typed, "label": "Mine", "form_key": secrets.token_urlsafe(24)})
    page = mine.content.decode()
    assert mine.status_code == 409 and "Theirs" in page and "Mine" in page
    assert Job.objects.get().label == "Theirs"


def test_the_plan_of_a_quoted_job_stays(owner, owner_client, plan):
    job = accept_quote(who=owner, quote=work.quote(owner, plan), label="Flag")
    with pytest.raises(PlannerError, match="is the one that was quoted"):
        change_job(who=owner, job=job, facts=JobFacts("Flag", "commission", "Wren"), seen_version=1)
    assert "plan" not in owner_client.get(reverse("jobs:change", args=[job.pk])).context["form"].fields


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [("label", "", "Nothing is written"), ("due", "2226-03-04", "more than ten years"), ("kind", "loan", "Choose one")],
)
def test_what_cannot_be_of_a_job_is_said(owner_client, field, text, said):
    typed = {"label": "Flag", "kind": "gift", "form_key": secrets.token_urlsafe(24), field: text}
    answer = owner_client.post(reverse("jobs:new"), typed)
    assert answer.status_code == 422 and said in answer.content.decode() and not Job.objects.exists()


# --- how far it is ----------------------------------------------------------------------------------------------


def test_a_job_goes_from_planned_to_handed_over_a_sentence_each(owner, owner_client):
    job = work.job(owner, for_whom="Robin")
    for state in ("under way", "finished", "handed over"):
        assert press(owner_client, job, state).status_code == 302
    told = list(job.events.order_by("pk").values_list("state", "words"))[1:]
    assert told == [
        ("under way", "Flag is under way."),
        ("finished", "Flag is finished."),
        ("handed over", "Flag was handed over to Robin."),
    ]
    assert jobs_told_wrongly() == []


def test_every_step_can_be_taken_back(owner):
    for here, theres in NEXT.items():
        for there in theres:
            back = {**{there: [here]}, "called off": ["planned"]}[there]
            assert set(back) & set(NEXT[there]), (here, there)


def test_a_job_goes_nowhere_it_does_not_go_from_where_it_is(owner, owner_client):
    job = work.job(owner)
    for state in ("finished", "handed over", "planned", "", "x"):
        press(owner_client, job, state)
    assert Job.objects.get().state == "planned" and job.events.count() == 1


def test_a_button_pressed_twice_or_on_an_old_page_changes_nothing_more(owner, owner_client):
    job = work.job(owner)
    key = secrets.token_urlsafe(24)
    press(owner_client, job, "under way", form_key=key)
    press(owner_client, job, "finished", form_key=key)
    press(owner_client, job, "finished", edit_version="1")
    assert Job.objects.get().state == "under way" and job.events.count() == 2
    with pytest.raises(JobMoved):
        move_job(who=owner, job=job, state="finished", seen_version=1)


def test_whoever_helps_begins_and_finishes_and_the_rest_is_the_owner_s(owner, helper, client):
    job = work.job(owner)
    client.force_login(helper)
    press(client, job, "under way")
    press(client, job, "finished")
    assert Job.objects.get().state == "finished"
    for state in ("handed over", "called off", "planned"):
        assert press(client, job, state).status_code == 403
    with pytest.raises(PermissionDenied):
        work.job(helper)
    page = client.get(job.get_absolute_url()).content.decode()
    assert "It is not finished yet" in page and "It is handed over" not in page and "Call it off" not in page


def test_a_helper_sees_what_is_to_be_made_and_no_price(owner, helper, client, plan):
    job = accept_quote(who=owner, quote=work.quote(owner, plan), label="Flag")
    client.force_login(helper)
    for address in (reverse("jobs:jobs"), job.get_absolute_url(), reverse("jobs:wood", args=[job.pk])):
        page = client.get(address).content.decode()
        assert "Flag" in page and "€" not in page and "/quotes/" not in page, address


# --- the list ---------------------------------------------------------------------------------------------------


def test_jobs_stand_by_date_what_is_due_first_before_and_what_is_late_says_so(owner, owner_client):
    today = timezone.localdate()
    for label, kind, days in (
        ("Later", "gift", 9),
        ("Late", "gift", -1),
        ("No day", "gift", None),
        ("C", "commission", 3),
    ):
        work.job(owner, label=label, kind=kind, due=today + timedelta(days=days) if days is not None else None)
    off = work.move(owner, work.job(owner, label="Off"), "called off")
    address = reverse("jobs:jobs")

    def listed(asked=""):
        return [(line.job.label, line.late) for line, _ in owner_client.get(address + asked).context["lines"]]

    assert listed() == [("Late", True), ("C", False), ("Later", False), ("No day", False)]
    assert listed("?kind=gift") == [("Late", True), ("Later", False), ("No day", False)]
    assert listed("?kind=commission&state=planned") == [("C", False)]
    assert listed("?kind=sale") == listed("?state=begun") == listed("?state=finished") == []
    assert listed("?state=closed") == [(off.label, False)]
    assert listed("?kind=nothing&state=%00") == listed()


# --- a quote accepted -------------------------------------------------------------------------------------------


def test_accepting_a_quote_makes_its_job_and_a_second_press_no_other(owner, owner_client, plan):
    quote = work.quote(owner, plan)
    address = reverse("jobs:accept", args=[quote.pk])
    assert "Wren Attwater accepts" in owner_client.get(address).content.decode()
    typed = {"name": "Wren Attwater", "label": "Flag", "due": "2027-03-04", "form_key": secrets.token_urlsafe(24)}
    answers = [owner_client.post(address, typed) for _ in range(2)]
    job = Job.objects.get()
    assert [answer.url for answer in answers] == [job.get_absolute_url()] * 2
    assert (job.kind, job.for_whom, job.plan, job.quote) == ("commission", "Wren Attwater", plan, quote)
    assert job.events.last().words == f"{quote} was accepted: Flag is a commission, for Wren Attwater, due 4 Mar 2027."
    other = owner_client.post(address, {**typed, "form_key": secrets.token_urlsafe(24)})
    assert other.status_code == 422 and "is accepted already" in other.content.decode()
    assert Job.objects.count() == 1 and jobs_told_wrongly() == []


def test_a_quote_that_came_to_another_end_makes_no_job(owner, plan):
    declined, replaced = work.quote(owner, plan), work.quote(owner, plan)
    tell_quote(who=owner, quote=declined, kind="declined")
    work.quote(owner, plan, replaces=replaced)
    for quote in (declined, replaced):
        with pytest.raises(QuoteMoved):
            accept_quote(who=owner, quote=quote, label="Flag")
    assert not Job.objects.exists() and not QuoteEvent.objects.filter(kind="accepted").exists()


def test_a_quote_accepted_late_says_by_how_much(owner, plan):
    day = timezone.localdate() - timedelta(days=2)
    quote = work.quote(owner, plan, dated=day, valid_until=day)
    accept_quote(who=owner, quote=quote, label="Flag")
    assert quote.events.first().words == f"{quote} was accepted, 2 days after it was valid; its job begins."


def test_acceptance_and_job_are_both_or_neither(owner, plan, monkeypatch):
    """Should writing the job fail, the quote is as open as before."""
    quote = work.quote(owner, plan)

    def fails(**_):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr("shopapp.jobs.actions.promises.want_wood", fails)
    with pytest.raises(RuntimeError):
        accept_quote(who=owner, quote=quote, label="Flag")
    assert quote.events.first().kind == "made" and not Job.objects.exists()


def test_an_acceptance_without_its_job_is_found_by_verify(owner, plan):
    quote = work.quote(owner, plan)
    QuoteEvent.objects.create(quote=quote, kind="accepted", words="x")
    assert jobs_told_wrongly() == [f"Quote {quote.pk} was accepted, but there is no job of it."]


# --- what the database itself refuses ---------------------------------------------------------------------------


@pytest.mark.storage
def test_no_job_is_taken_away_and_nothing_told_of_it_is_changed_by_plain_sql(owner):
    work.job(owner)
    for statement in (
        "DELETE FROM jobs_job",
        "UPDATE jobs_jobevent SET state = 'finished'",
        "DELETE FROM jobs_jobevent",
    ):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    assert JobEvent.objects.get().words.startswith("Flag was written down")


@pytest.mark.storage
def test_a_quote_has_one_job_whoever_writes_it(owner, plan):
    job = accept_quote(who=owner, quote=work.quote(owner, plan), label="Flag")
    with pytest.raises(IntegrityError), transaction.atomic():
        Job.objects.create(label="Another", kind="gift", quote=job.quote)
