"""Whether a board is glued face down belongs to its job: said once, every tablet shows its rows mirrored."""

from __future__ import annotations

import secrets

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.jobs.models import Job, JobEvent
from shopapp.jobs.tonight.readers import tonight_of
from shopapp.people.models import Member
from shopapp.workshop.readers import the_workshop
from tests.support import tonight as bench
from tests.support import work

PAGE = reverse("jobs:tonight")


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def two(owner) -> list[Job]:
    """Two jobs with rows due today."""
    bench.all_day(owner)
    plan = work.kept(owner)
    made = [bench.rows_due(owner, plan, label)[0] for label in ("Flag for the quay", "Pennant")]
    return [Job.objects.get(pk=int(making.key.split()[1])) for making in made]


def turn(client, job, down: str, who, **changes):
    given = {"kind": "face", "job": job.pk, "down": down, "who": who.pk, "form_key": secrets.token_urlsafe(24)}
    return client.post(reverse("jobs:tonight_send"), {**given, **changes})


def faces(job) -> set[bool]:
    tasks = tonight_of(timezone.localtime(), the_workshop()).every
    return {task.face_down for task in tasks if task.made.job.pk == job.pk}


def test_said_on_one_tablet_all_rows_of_that_job_lie_mirrored_and_no_others(db, client, owner, two):
    flag, pennant = two
    client.force_login(owner)
    assert faces(flag) == faces(pennant) == {False}
    answer = turn(client, flag, "1", owner).json()
    assert answer == {"state": "written", "words": "Flag for the quay: its rows are laid face down, from the right."}
    assert faces(flag) == {True} and faces(pennant) == {False}
    assert JobEvent.objects.filter(job=flag).first().words == "Its rows are laid face down, from the right."
    body = client.get(PAGE).content.decode()
    assert f'value="up:{flag.pk}:' in body and f'value="down:{pennant.pk}:' in body
    assert "laid face down" in client.get(flag.get_absolute_url()).content.decode()


def test_said_again_by_another_tablet_nothing_is_added(db, client, owner, two):
    client.force_login(owner)
    key = secrets.token_urlsafe(24)
    turn(client, two[0], "1", owner, form_key=key)
    events = JobEvent.objects.count()
    assert turn(client, two[0], "1", owner, form_key=key).json()["state"] == "already"
    assert turn(client, two[0], "1", owner).json()["state"] == "written"
    assert JobEvent.objects.count() == events
    turn(client, two[0], "0", owner)
    assert JobEvent.objects.count() == events + 1 and faces(two[0]) == {False}


def test_a_helper_turns_it_by_a_button_without_scripts(db, client, two):
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    answer = client.post(PAGE, {"do": f"down:{two[0].pk}:1:", "form_key": secrets.token_urlsafe(24)})
    assert answer.status_code == 302 and faces(two[0]) == {True}


def test_what_is_handed_over_is_not_turned_any_more(db, client, owner, two):
    client.force_login(owner)
    job = work.move(owner, work.job(owner, two[0].plan), "under way", "finished", "handed over")
    assert turn(client, job, "1", owner).status_code == 422 and not Job.objects.get(pk=job.pk).face_down
