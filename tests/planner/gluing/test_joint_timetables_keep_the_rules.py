"""Boards of several jobs with days of their own, drawn by chance and made by the same hands: every joint timetable is
looked at by the trade's own rules, which know neither the links nor the order it was found in."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from functools import cached_property

import pytest

from planner.gluing import by_their_days, faults_of
from planner.gluing import several as joint
from planner.gluing.materials import Clamps, Finish, RowJigs
from tests.support.glue_boards import ALL_AROUND, AT_ONCE, OIL, SHOP, WHITE, board, mm, work
from tests.support.trade_rules import broken_rules

DAY = 288
OILS = (OIL, Finish("Mineral oil", 2, 60, 1, 60, 120, 0, None, drying=False))


class Season:
    """A shop, its evenings and two to five boards of unlike jobs, by a number."""

    def __init__(self, seed: int) -> None:
        chance = random.Random(seed)
        many = chance.randint(2, 5)
        self.kinds = [
            (chance.choice((3, 5, 6, 8)), chance.choice(("runs", "tiles")), chance.choice((1, 1, 1, 2)))
            for _ in range(many)
        ]
        self.shop = replace(
            SHOP,
            people=chance.choice((1, 1, 2)),
            jigs=(RowJigs("Long jig", chance.choice((1, 2)), mm(1200)),),
            clamps=(Clamps("All", chance.choice((8, 12, 24)), mm(1000)),),
            bench_places=chance.choice((1, 2)),
        )
        self.finish, self.around = chance.choice(OILS), chance.choice((AT_ONCE, ALL_AROUND))
        # Evenings as people have them: some fall through, a Saturday now and then; few weeks or many.
        weeks = chance.choice((3, 5, 30))
        self.sessions = tuple(
            (day * DAY + opens * 12, day * DAY + closes * 12)
            for day in range(7 * weeks)
            for opens, closes in [(9, 16) if day % 7 == 5 else (19, 22)]
            if day % 7 != 6 and chance.random() < 0.85
        )
        places = range(1, many + 1)
        self.dues = {place: chance.randint(10, 60) * DAY for place in places if chance.random() < 0.8}
        self.first = [chance.choice(places)] if chance.random() < 0.3 else []
        self.last = [chance.choice(places)] if chance.random() < 0.3 else []
        self.paces = [Fraction(chance.choice((100, 110, 125)), 100) for _ in places] if chance.random() < 0.5 else ()

    @cached_property
    def boards(self):
        return [board(*kind) for kind in self.kinds]

    def work(self, **given):
        given = {"shop": self.shop, "finish": self.finish, "around": self.around, "sessions": self.sessions, **given}
        return work(*self.boards, paces=self.paces, **given)

    def broken(self, found, timetable=None) -> list[str]:
        asked = (self.boards, self.shop, WHITE, self.finish, self.around, found.without)
        return broken_rules(found.made, timetable or found.timetable, *asked)


@pytest.mark.parametrize("seed", range(16))
def test_a_joint_timetable_of_any_jobs_keeps_every_rule_of_the_trade(seed):
    season = Season(seed)
    made = season.work()
    found = by_their_days(made, season.dues, season.first, season.last)
    assert season.broken(found) == []
    # A board is finished when its last step is and has cured; only what the weeks do not hold is left out.
    steps = zip(found.made.steps, found.made.work.tasks, found.timetable.starts, strict=True)
    ends = {}
    for step, task, start in steps:
        ends[step.board] = max(ends.get(step.board, 0), start + task.attended + task.hold + task.rest)
    assert found.finishes == ends
    assert set(ends) | set(found.without) == set(range(1, len(season.boards) + 1))
    assert not found.without or len(season.sessions) < 100


@pytest.mark.parametrize("seed", [n for n in range(32) if len(Season(n).sessions) > 100][:8])
def test_what_was_done_by_one_joint_timetable_and_what_is_planned_of_the_rest_keep_the_rules_together(seed):
    """Up to some evening every step is done and ticked as planned; the rest is planned anew for other days. What
    happened and what is to happen, put into one timetable, still is one that can be lived by."""
    season = Season(seed)
    made = season.work()
    found = by_their_days(made, season.dues)
    assert found.without == ()
    evening = season.sessions[random.Random(seed).randint(4, 40)][1]
    ends = {
        step.key: start + task.attended
        for step, task, start in zip(made.steps, made.work.tasks, found.timetable.starts, strict=True)
        if start + task.attended <= evening
    }
    later = tuple(one for one in season.sessions if one[0] >= evening)
    rest = by_their_days(season.work(sessions=later, done=ends.keys(), ready=ends), {1: evening + 20 * DAY})
    assert rest.without == ()
    anew = {
        step.key: start for step, start in zip(rest.made.steps, rest.timetable.starts, strict=True) if not step.running
    }
    assert not anew.keys() & ends.keys()
    starts = [anew.get(step.key, start) for step, start in zip(found.made.steps, found.timetable.starts, strict=True)]
    assert {step.key for step in made.steps} == ends.keys() | anew.keys()
    assert season.broken(found, replace(found.timetable, starts=tuple(starts))) == []


def test_among_these_seasons_are_ones_the_weeks_do_not_hold_and_such_as_are_made_whole():
    left_out = [len(by_their_days(one.work(), one.dues).without) for one in map(Season, range(16))]
    assert 0 in left_out and max(left_out) >= 2


@pytest.mark.parametrize("kind", ["rip", "cut", "row", "dress", "join", "flatten", "sand", "coat"])
def test_the_rules_see_a_step_of_the_second_job_that_is_done_too_soon(kind):
    season = Season(3)
    found = by_their_days(season.work(), season.dues)
    starts = [
        0 if step.kind == kind and step.board == 2 else start
        for step, start in zip(found.made.steps, found.timetable.starts, strict=True)
    ]
    assert season.broken(found, replace(found.timetable, starts=tuple(starts)))


def test_the_rules_see_two_jobs_that_want_one_pair_of_hands_at_once():
    season = next(one for one in map(Season, range(16)) if one.shop.people == 1 and one.around is AT_ONCE)
    found = by_their_days(season.work(), season.dues)
    starts = list(found.timetable.starts)
    starts[next(n for n, step in enumerate(found.made.steps) if step.board == 2)] = starts[0]
    assert "more hands than there are" in season.broken(found, replace(found.timetable, starts=tuple(starts)))


def test_a_joint_timetable_the_checker_refuses_is_never_told(monkeypatch):
    """Both rules are made to forget what comes after what: nothing they find is told, every board is left out."""
    season = Season(3)
    made = season.work()
    real = joint.scheme_of

    def forgetful(of):
        return real(replace(of, links=()))

    monkeypatch.setattr(joint, "scheme_of", forgetful)
    found = by_their_days(made, season.dues)
    assert found.finishes == {} and len(found.without) == len(season.boards)
    monkeypatch.undo()
    again = by_their_days(made, season.dues)
    assert again.finishes and faults_of(again.timetable, again.made.work) == ()
