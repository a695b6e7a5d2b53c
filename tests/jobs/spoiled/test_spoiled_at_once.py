"""Several who write parts down in the same moment: none counts twice, and nothing is cut again oftener than it has to
be."""

from __future__ import annotations

import pytest

from shopapp.jobs.models import PartEntry, TimerEntry
from shopapp.jobs.spoiled.actions import write_parts
from shopapp.jobs.spoiled.planning import alike_in
from shopapp.jobs.spoiled.readers import recut_of
from shopapp.schedule.models import TimeEntry
from shopapp.workshop.readers import the_workshop
from tests.support import tonight as bench
from tests.support import work
from tests.support.at_once import at_once

pytestmark = [pytest.mark.storage, pytest.mark.django_db(transaction=True)]

AGAIN = """
import sys
from planner.errors import PlannerError
from shopapp.jobs.models import Job
from shopapp.jobs.spoiled.actions import write_parts
try:
    write_parts(who=None, job=Job.objects.get(), kind="again", part=int(sys.argv[2]), count=1)
    print("written")
except PlannerError:
    print("refused")
"""

BACK = """
from planner.errors import PlannerError
from shopapp.jobs.models import Job, PartEntry
from shopapp.jobs.spoiled.actions import take_back
try:
    take_back(who=None, job=Job.objects.get(), entry=PartEntry.objects.get(kind="spoiled"))
    print("taken back")
except PlannerError:
    print("already")
"""


@pytest.fixture
def job(owner):
    return work.move(owner, work.job(owner, work.kept(owner)), "under way")


def spoil(owner, job, more: int):
    """So many more than there are spares of it."""
    run = next(one for one in alike_in(job.plan) if one.wood == "walnut-black" and one.spares)
    count = run.spares + more
    write_parts(who=owner, job=job, kind="spoiled", part=run.parts[0], count=count, why="torn out")
    return run


def test_of_four_who_cut_the_last_two_again_two_are_written_down(owner, job):
    run = spoil(owner, job, 2)
    assert sorted(at_once(AGAIN, run.parts[0])) == ["refused", "refused", "written", "written"]
    assert recut_of(job, the_workshop(), owner, money=False).to_cut == 0
    assert PartEntry.objects.filter(kind="again").count() == 2


def test_an_entry_everybody_takes_back_at_once_is_taken_back_once(owner, job):
    spoil(owner, job, 2)
    assert sorted(at_once(BACK)) == ["already", "already", "already", "taken back"]
    assert PartEntry.objects.filter(kind="taken back").count() == 1


BEGIN = """
import secrets
import sys
from django.utils import timezone
from shopapp.jobs.models import Job
from shopapp.jobs.tonight import running
from shopapp.people.models import Member
from shopapp.plans.models import KeptTimetable
who, job, kept = Member.objects.get(), Job.objects.get(), KeptTimetable.objects.latest("pk")
named = {"who": who, "job": job, "board": 1, "operation": sys.argv[2], "at": timezone.now()}
said = running.begin(kept=kept, token=secrets.token_urlsafe(24), **named)
print("goes on" if "goes on" in said else "begun")
"""

STOP = """
import sys
from django.utils import timezone
from shopapp.jobs.models import Job
from shopapp.jobs.tonight import running
from shopapp.people.models import Member
named = {"board": 1, "operation": sys.argv[2], "token": sys.argv[3], "at": timezone.now()}
said = running.end(who=Member.objects.get(), job=Job.objects.get(), kind="stop", **named)
print("already" if "already" in said else "written")
"""


def test_a_time_begun_on_four_tablets_at_once_runs_once_and_stopped_on_all_is_written_once(owner):
    bench.all_day(owner)
    bench.rows_due(owner, work.kept(owner))
    assert sorted(at_once(BEGIN, "row_glue")) == ["begun", "goes on", "goes on", "goes on"]
    token = TimerEntry.objects.get().token
    assert sorted(at_once(STOP, "row_glue", token)) == ["already", "already", "already", "written"]
    assert TimeEntry.objects.count() == 1
