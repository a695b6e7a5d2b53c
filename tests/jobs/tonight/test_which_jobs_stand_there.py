"""Which jobs stand on tonight's page, and who sees what of them."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.jobs.tonight.readers import tonight_of
from shopapp.people.models import Member
from shopapp.plans.models import Plan, StepTick
from shopapp.workshop.readers import the_workshop
from tests.support import tonight as bench
from tests.support import work
from tests.support.evenings import kept as kept_evenings

PAGE = reverse("jobs:tonight")


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner) -> Plan:
    bench.all_day(owner)
    return work.kept(owner)


@pytest.fixture
def client_of(db, client):
    def signed_in(member: Member):
        client.force_login(member)
        return client

    return signed_in


def now_of(at=None):
    return tonight_of(at or timezone.localtime(), the_workshop())


def test_boards_planned_together_are_in_nobodys_way_and_their_card_stands_here_once(db, owner, plan):
    one, other = (work.move(owner, work.job(owner, plan, label=name), "under way") for name in ("First", "Second"))
    kept_evenings(owner, making_of_job(one.pk), in_hand=True, together=[other.key])
    found = now_of()
    assert found.crossings == [] and found.without == []
    lines = [(task.made.kept.pk, task.line.key) for task in found.every]
    assert len(lines) == len(set(lines)) and {task.label for task in found.every} <= {"First", "Second"}
    # One kept for the second alone takes its place there, and the first's timetable goes on without it.
    alone = kept_evenings(owner, making_of_job(other.pk), in_hand=True)
    stands = {(task.label, task.made.kept.pk) for task in now_of().every}
    assert {pk for label, pk in stands if label == "Second"} <= {alone.pk}
    assert all(pk != alone.pk for label, pk in stands if label == "First")


def test_a_job_nobody_began_and_one_without_a_timetable_are_named(db, owner, plan, client_of):
    idle = work.job(owner, plan, label="Nobody began it")
    kept_evenings(owner, making_of_job(idle.pk), in_hand=True)
    work.move(owner, work.job(owner, plan, label="No timetable yet"), "under way")
    found = now_of()
    assert [job.label for job in found.not_begun] == ["Nobody began it"]
    assert [job.label for job in found.without] == ["No timetable yet"]
    text = client_of(owner).get(PAGE).content.decode()
    assert "Nobody began it has evenings that have come" in text and "is begun and has no timetable" in text


def test_a_shop_with_nothing_begun_says_what_to_do(db, owner, client_of):
    answer = client_of(owner).get(PAGE)
    assert answer.status_code == 200 and "Nothing tonight" in answer.content.decode()


def test_a_helper_sees_no_money_and_nobody_s_name_and_ticks_all_the_same(db, owner, plan, client_of):
    job, _ = bench.begun(owner, plan, "Flag for the quay")
    Job.objects.filter(pk=job.pk).update(for_whom="Wren Attwater")
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    text = client_of(joss).get(PAGE).content.decode()
    assert "Wren" not in text and the_workshop().currency_symbol not in text
    assert reverse("jobs:timetable", args=[job.pk]) not in text
    # Without scripts a button is a form.
    key = re.search(r'name="form_key" value="([^"]+)"', text)[1]
    do = re.search(r'name="do" value="(done:[^"]+)"', text)[1]
    answer = client_of(joss).post(PAGE, {"do": do, "form_key": key})
    assert answer.status_code == 302 and StepTick.objects.get().who == joss
    client_of(joss).post(PAGE, {"do": do, "form_key": key})
    assert StepTick.objects.count() == 1


def test_what_a_device_keeps_for_when_the_machine_is_away_has_nothing_of_the_shop_on_it(db, owner, plan, client_of):
    bench.begun(owner, plan, "Flag for the quay")
    page = client_of(owner).get(reverse("jobs:tonight_away")).content.decode()
    script = client_of(owner).get(reverse("jobs:tonight_worker"))
    assert script.headers["Content-Type"] == "text/javascript"
    for told in (page, script.content.decode()):
        assert not re.search(rf"Flag|{owner.username}|{the_workshop().name}|csrf", told)
