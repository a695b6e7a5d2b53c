"""Tonight's page asks the database as often for many jobs as for two."""

from __future__ import annotations

from django.urls import reverse

from shopapp.plans.actions import keep_plan
from shopapp.workshop.readers import the_workshop
from tests.rules.test_query_counts import queries
from tests.support import tonight as bench
from tests.support import work
from tests.support.shop import board


def test_tonight_takes_as_many_queries_with_many_jobs_as_with_two(owner, owner_client):
    bench.all_day(owner)
    plan = work.kept(owner)
    for label in ("Flag", "Pennant"):
        bench.rows_due(owner, plan, label)
    address = reverse("jobs:tonight")
    with_two = queries(owner_client, address)
    for n in range(2):
        other = keep_plan(who=owner, version=plan.version, board=board(quantity=n + 1), workshop=the_workshop())
        bench.begun(owner, other, f"Flag {n}")
        work.move(owner, work.job(owner, plan, label=f"No timetable {n}"), "under way")
    assert queries(owner_client, address) == with_two <= 16
