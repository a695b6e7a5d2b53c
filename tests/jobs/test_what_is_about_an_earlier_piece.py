"""A repair, a remake or a complaint is about a piece that was made before; both pages say so."""

from __future__ import annotations

import secrets
from dataclasses import replace

import pytest
from django.urls import reverse

from planner.errors import PlannerError
from shopapp.jobs.actions import JobFacts, change_job, make_job
from shopapp.jobs.models import Job
from shopapp.people.models import Member
from tests.support import work


@pytest.fixture
def made(owner):
    return work.move(owner, work.job(owner, None, label="Heron"), "under way", "finished", "handed over")


def facts(of, **changes) -> JobFacts:
    return JobFacts(**{"label": "Heron’s wing", "kind": "repair", "of": of, "settled": "reserve", **changes})


@pytest.mark.parametrize("kind", ["repair", "remake", "complaint"])
def test_both_pages_say_so_and_its_story_too(owner, owner_client, made, kind):
    job = make_job(who=owner, facts=facts(made, kind=kind))
    assert f"a {kind} of Heron, against the reserve" in job.events.get().words
    later, earlier = (owner_client.get(one.get_absolute_url()).content.decode() for one in (job, made))
    assert made.get_absolute_url() in later and "against the reserve for boards lost" in later
    assert job.get_absolute_url() in earlier and f"{kind.capitalize()} since" in earlier
    assert job.label in owner_client.get(reverse("jobs:jobs")).content.decode()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"of": None}, "which piece"),
        ({"settled": ""}, "who bears it"),
        ({"kind": "gift"}, "Only a repair"),
        ({"kind": "gift", "of": None}, "Only a repair"),
    ],
)
def test_what_does_not_go_together_is_refused(owner, made, changes, words):
    with pytest.raises(PlannerError, match=words):
        make_job(who=owner, facts=replace(facts(made), **changes))
    assert Job.objects.count() == 1


def test_nothing_is_about_a_piece_that_is_not_made_or_about_itself_however_far_round(owner, made):
    with pytest.raises(PlannerError, match="not made yet"):
        make_job(who=owner, facts=facts(work.job(owner, None, label="Pennant")))
    repair = work.move(owner, make_job(who=owner, facts=facts(made)), "under way", "finished")
    again = work.move(owner, make_job(who=owner, facts=facts(repair)), "under way", "finished")
    for of in (made, repair, again):
        with pytest.raises(PlannerError, match="after itself"):
            change_job(who=owner, job=made, facts=facts(of, label="Heron"), seen_version=made.edit_version)


def test_the_form_offers_what_is_made_and_keeps_what_was_typed(owner, owner_client, made):
    page = f"{reverse('jobs:new')}?of={made.pk}"
    assert f'<option value="{made.pk}" selected>' in owner_client.get(page).content.decode()
    typed = {"label": "Wing", "kind": "repair", "of": str(made.pk), "form_key": secrets.token_urlsafe(24)}
    answer = owner_client.post(reverse("jobs:new"), typed)
    assert answer.status_code == 422 and "who bears it" in answer.content.decode() and "Wing" in answer.content.decode()
    owner_client.post(reverse("jobs:new"), {**typed, "settled": "charged"})
    job = Job.objects.get(label="Wing")
    assert (job.of, job.settled) == (made, "charged")
    shown = owner_client.get(reverse("jobs:change", args=[job.pk])).content.decode()
    assert f'<option value="{made.pk}" selected>' in shown


def test_a_helper_is_not_told_who_bears_it(client, owner, made):
    job = make_job(who=owner, facts=facts(made))
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    body = client.get(job.get_absolute_url()).content.decode()
    assert made.get_absolute_url() in body and "against the reserve" not in body.split("Its story")[0]
