"""A plan that fails the checker is passed over; the last sound one stands, and only where none is, it is an error."""

from dataclasses import replace

import pytest

from planner.cutting.plan import UnsoundPlanError, faults_of, first_cut_plan, plan_cuts, planning, search
from tests.planner.cutting.plan.making import plausible


def test_a_search_that_goes_wrong_leaves_the_plans_before_it(monkeypatch):
    job = plausible(0, woods=1)
    wrong = []

    def careless(columns, problem, shelf):
        """Boards as the solver told them, the first strip of the first left uncut."""
        cuts = list(search_cuts(columns, problem, shelf))
        rough = cuts[0].rough[0]
        cuts[0] = replace(cuts[0], rough=(replace(rough, strips=rough.strips[1:]), *cuts[0].rough[1:]))
        wrong.append(cuts)
        return tuple(cuts)

    search_cuts = search.cuts_of
    monkeypatch.setattr(search, "cuts_of", careless)
    told = []
    plan = plan_cuts(job, steps=30, tell=told.append)
    assert wrong, "no plan went wrong, so nothing is shown"
    assert all(faults_of(one, job) == () for one in [*told, plan])
    assert plan.cost <= first_cut_plan(job).cost


def test_a_plan_found_unsound_at_last_gives_way_to_the_one_told_before(monkeypatch):
    job = plausible(0, woods=1)
    told = []

    def once(plan, of):
        # The first plan that is asked about passes, no other one does.
        return () if not told or plan == told[0] else ("The blade is blunt.",)

    monkeypatch.setattr(planning, "faults_of", once)
    assert plan_cuts(job, steps=30, tell=told.append) == told[0]


def test_where_no_plan_is_sound_it_is_said_that_it_is_the_house_that_is_at_fault(monkeypatch):
    monkeypatch.setattr(planning, "faults_of", lambda plan, of: ("The blade is blunt.",))
    for make in (first_cut_plan, lambda job: plan_cuts(job, steps=30)):
        with pytest.raises(UnsoundPlanError, match="The blade is blunt") as told:
            make(plausible(0, woods=1))
        assert told.value.mend
