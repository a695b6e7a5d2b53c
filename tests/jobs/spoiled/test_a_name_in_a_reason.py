"""A customer's name that stands in a reason is told to them, and goes with them."""

from __future__ import annotations

from shopapp.jobs import persons
from shopapp.jobs.models import Job, PartEntry
from tests.support import work
from tests.support.cutagain import spoiled
from tests.support.people import somebody


def test_a_name_in_a_reason_is_told_and_struck_with_its_person(owner):
    person = somebody("Tam Sedge")
    job = work.job(owner, work.kept(owner), person=person, for_whom="Tam Sedge")
    entry = spoiled(owner, job)
    other = PartEntry.objects.create(
        job=job, plan=job.plan, kind="besides", part=entry.part, what=entry.what, count=1, why="Tam Sedge wants a trial"
    )
    told = persons.out(person)["jobs"][0]["parts"]
    assert [why for _, why in told] == ["torn out", "Tam Sedge wants a trial"]
    persons.forget(person, "a person erased")
    other.refresh_from_db()
    assert "Sedge" not in other.why and "wants a trial" in other.why
    assert PartEntry.objects.get(pk=entry.pk).why == "torn out" and Job.objects.get(pk=job.pk).for_whom != "Tam Sedge"
