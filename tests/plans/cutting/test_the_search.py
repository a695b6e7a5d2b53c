"""What the worker does for a cut plan: it saves what is better and proved, says that it lives, and minds being told to
stop; what is better is decided by cost and floor alone."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from shopapp.common.tasks import UNEXPECTED, run_waiting_tasks
from shopapp.people.models import Member
from shopapp.plans.cutting import planning, searching
from shopapp.plans.cutting.actions import ask_for_plan, stop_looking
from shopapp.plans.cutting.planning import Found, better
from shopapp.plans.cutting.readers import looking
from shopapp.plans.cutting.searching import Run
from shopapp.plans.cutting.tidying import KEPT_DAYS, forget_old_searches
from shopapp.plans.models import CutSearch
from shopapp.workshop.readers import the_workshop
from tests.support.cutting import cutting, plan_and_rack

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return plan_and_rack(owner)


@pytest.fixture
def search(owner, plan):
    return ask_for_plan(who=owner, cutting=cutting(plan), wishes={}, minutes=2)


@pytest.fixture
def proved(owner, plan, search):
    """What a search of this job comes to, worked out beside the book."""
    return planning.search(search.file, plan.record, the_workshop(), lambda: True, lambda prove: None)


class Clock:
    """Seconds that pass when they are told to."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def now(search: CutSearch) -> CutSearch:
    search.refresh_from_db()
    return search


def test_it_says_that_it_lives_once_a_second_however_often_it_is_asked(search):
    clock = Clock()
    run = Run(search.input_hash, clock)
    run.begin()
    lived = now(search).heartbeat_at
    for _ in range(500):
        assert run.keep_going()
    assert (now(search).looked, search.heartbeat_at) == (0, lived)
    clock.now += searching.LOOK_SECONDS
    assert run.keep_going()
    assert now(search).looked == 501 and search.heartbeat_at > lived


def test_told_to_stop_it_stops_at_the_next_look_and_leaves_what_stands(owner, plan, search):
    clock = Clock()
    run = Run(search.input_hash, clock)
    run.begin()
    stop_looking(who=owner, cutting=cutting(plan))
    assert run.keep_going()
    clock.now += searching.LOOK_SECONDS
    assert not run.keep_going()
    run.end(tried_out=run.going)
    assert not now(search).tried_out and search.best


def test_one_who_stops_does_not_stop_it_for_the_other(owner, plan, search):
    other = ask_for_plan(who=owner, cutting=cutting(plan, key="another", label="Another"), wishes={})
    clock = Clock()
    run = Run(search.input_hash, clock)
    run.begin()
    stop_looking(who=owner, cutting=cutting(plan))
    clock.now += searching.LOOK_SECONDS
    assert run.keep_going()
    assert not now(search).is_running and now(other).is_running


def test_each_has_its_time_and_no_more(search):
    clock = Clock()
    run = Run(search.input_hash, clock)
    run.begin()
    CutSearch.objects.update(began_at=timezone.now() - timedelta(minutes=2))
    clock.now += searching.LOOK_SECONDS
    assert not run.keep_going()
    assert not now(search).is_running


def test_of_many_better_plans_the_newest_is_proved_and_saved_and_searching_has_most_of_the_time(search, proved):
    clock = Clock()
    run = Run(search.input_hash, clock)
    run.begin()
    asked = []

    def takes_two_seconds(name: str):
        def prove() -> Found:
            asked.append(name)
            clock.now += 2
            return proved

        return prove

    run.tell(takes_two_seconds("first"))
    assert asked == ["first"] and now(search).floor == proved.floor
    run.tell(takes_two_seconds("second"))
    run.tell(takes_two_seconds("third"))
    clock.now += 7
    run.keep_going()
    assert asked == ["first"]
    clock.now += 1
    run.keep_going()
    assert asked == ["first", "third"]


def test_a_plan_that_does_not_hold_is_not_saved(search):
    run = Run(search.input_hash, Clock())
    run.begin()
    before = search.best
    run.tell(lambda: None)
    assert now(search).best == before


def test_a_run_that_comes_too_late_does_nothing(owner, plan, search, monkeypatch):
    stop_looking(who=owner, cutting=cutting(plan))
    monkeypatch.setattr(planning, "search", lambda *_: pytest.fail("nobody waits for it"))
    run_waiting_tasks()
    assert now(search).looked == 0


def test_who_asks_when_a_run_was_just_told_to_stop_gets_one_of_their_own(owner, plan, search):
    clock = Clock()
    run = Run(search.input_hash, clock)
    run.begin()
    stop_looking(who=owner, cutting=cutting(plan))
    clock.now += searching.LOOK_SECONDS
    assert not run.keep_going()
    late = CutSearch.objects.get()
    late.pk, late.ended_at, late.stop_asked = None, None, False
    late.save()
    run.end(tried_out=run.going)
    assert now(late).is_running and late.task != search.task
    assert str(DBTaskResult.objects.order_by("-enqueued_at").first().pk) == late.task


@pytest.mark.parametrize(
    ("raises", "told"),
    [
        (MemoryError(), "more memory"),
        (ZeroDivisionError(), UNEXPECTED),
        (planning.CutPlanError("No room."), "No room."),
    ],
    ids=["memory", "a surprise", "no plan"],
)
def test_what_ends_it_is_said_and_what_was_found_stands(plan, search, monkeypatch, raises, told):
    def fail(*_):
        raise raises

    monkeypatch.setattr(planning, "search", fail)
    before = search.best
    run_waiting_tasks()
    assert told in now(search).trouble and search.best == before
    seen = looking(search, cutting(plan), the_workshop())
    assert (seen.word, seen.message) == ("ended", search.trouble) and seen.seen is not None


def test_a_search_the_worker_lost_is_told_and_asking_again_begins_anew_from_what_was_found(owner, plan, search):
    DBTaskResult.objects.update(status="FAILED", return_value={"message": "It took longer than 1920 seconds."})
    seen = looking(search, cutting(plan), the_workshop())
    assert seen.word == "dropped" and seen.message.startswith("It took longer")
    again = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    assert again.task != search.task and again.best == search.best
    assert looking(again, cutting(plan), the_workshop()).word == "waiting"


def test_a_search_whose_worker_died_goes_on_with_the_next(plan, search):
    from shopapp.common import tasks

    row = tasks.claim_next("elsewhere/1")
    assert looking(search, cutting(plan), the_workshop()).word == "looking"
    assert tasks.take_up_again("here/2") == 1
    row.refresh_from_db()
    assert row.status == "READY"
    run_waiting_tasks()
    assert now(search).tried_out and search.floor is not None


def test_better_is_cheaper_and_a_higher_floor_is_kept_with_whichever_is_cheaper(search, proved):
    first = searching.best_of(search)
    assert better(first, first) is None and better(proved, proved) is None
    assert better(proved, first) == proved
    # A dearer plan brings its floor and nothing else; the text says so itself.
    dearer = Found(proved.text, first.cost + 1, proved.floor)
    kept = better(dearer, first)
    assert (kept.cost, kept.floor) == (first.cost, proved.floor)
    assert planning.faults_in_text(kept.text, kept.cost, kept.floor) == []


def test_searches_that_ended_long_ago_are_forgotten_but_for_the_newest_of_each(owner, plan, search):
    again = ask_for_plan(who=owner, cutting=cutting(plan), wishes={"offcuts_first": True})
    stop_looking(who=owner, cutting=cutting(plan))
    assert forget_old_searches() == 0
    CutSearch.objects.update(ended_at=timezone.now() - timedelta(days=KEPT_DAYS + 1))
    assert forget_old_searches() == 1
    assert list(CutSearch.objects.all()) == [again]
