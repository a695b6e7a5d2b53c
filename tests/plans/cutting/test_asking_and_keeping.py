"""A cut plan is asked for, shared, stopped and kept; what is kept can be cut, and cannot be kept twice or of wood that
is gone."""

from __future__ import annotations

import json

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django_tasks_db.models import DBTaskResult

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.models import AuditLine
from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import move_piece, set_piece_aside
from shopapp.lumber.stock.promises import reserve, want_wood
from shopapp.people.models import Member
from shopapp.plans.cutting import planning
from shopapp.plans.cutting.actions import RackMoved, ask_for_plan, keep_plan_of, stop_looking
from shopapp.plans.cutting.checks import sheets_that_do_not_hold
from shopapp.plans.models import CutSearch, CutSheet
from tests.support import work
from tests.support.cutting import cutting, piece, plan_and_rack

pytestmark = pytest.mark.django_db
KEY = "a-key-that-nobody-used-before-1"


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return plan_and_rack(owner)


def ask(owner, plan, **wishes) -> CutSearch:
    return ask_for_plan(who=owner, cutting=cutting(plan), wishes=wishes)


def waiting() -> int:
    return DBTaskResult.objects.filter(status="READY").count()


def test_the_first_plan_is_there_with_the_search_and_the_worker_is_told(owner, plan):
    search = ask(owner, plan)
    assert search.cost > 0 and search.floor is None and search.is_running
    assert planning.faults_in_text(search.best, search.cost, search.floor) == []
    assert waiting() == 1
    assert AuditLine.objects.filter(what="A cut plan for Flag, drawing 1 was asked for.").exists()


def test_the_worker_finds_no_worse_and_says_what_none_can_undercut(owner, plan):
    search = ask(owner, plan)
    first = search.cost
    run_waiting_tasks()
    search.refresh_from_db()
    assert search.trouble == "" and search.tried_out and search.looked > 0
    assert 0 < search.floor <= search.cost <= first
    assert planning.faults_in_text(search.best, search.cost, search.floor) == []


@pytest.mark.storage
def test_who_asks_for_what_is_being_looked_for_shares_it_whatever_their_name_is(owner, plan):
    mine = ask(owner, plan)
    yours = ask_for_plan(who=owner, cutting=cutting(plan, key="another", label="Another"), wishes={})
    assert mine.input_hash == yours.input_hash and mine.task == yours.task
    assert waiting() == 1
    run_waiting_tasks()
    mine.refresh_from_db()
    yours.refresh_from_db()
    assert (mine.best, mine.cost, mine.floor) == (yours.best, yours.cost, yours.floor)
    assert mine.floor is not None and not mine.is_running and not yours.is_running


def test_what_was_tried_out_once_is_not_looked_through_again(owner, plan):
    ask(owner, plan)
    run_waiting_tasks()
    found = CutSearch.objects.get()
    again = ask(owner, plan)
    assert (again.best, again.tried_out, again.is_running) == (found.best, True, False)
    assert waiting() == 0


def test_other_wishes_are_another_search_and_end_the_one_before(owner, plan):
    before = ask(owner, plan)
    after = ask(owner, plan, leave_out=[piece("walnut-black").mark])
    before.refresh_from_db()
    assert before.stop_asked and not before.is_running and after.is_running
    assert before.input_hash != after.input_hash
    assert piece("walnut-black").mark not in planning.boards_used(after.best)


def test_a_board_that_is_not_there_yet_may_be_imagined(owner, plan):
    StockPiece.objects.filter(wood="padauk").update(set_aside="checked")
    with pytest.raises(planning.CutPlanError, match="no Padauk on the rack"):
        ask(owner, plan)
    sizes = {"thickness": "27", "width": "120", "length": "1000", "price": "14.50"}
    search = ask(owner, plan, bought=[{"wood": "padauk", **sizes}])
    assert "to buy 1" in planning.boards_used(search.best)
    sheet = keep_plan_of(who=owner, cutting=cutting(plan), search=search)
    assert "to buy 1" not in [one["mark"] for one in sheet.pieces]


@pytest.mark.storage
def test_what_cannot_be_made_changes_nothing(owner, plan):
    spent = []
    with pytest.raises(planning.CutPlanError) as told:
        ask_for_plan(
            who=owner, cutting=cutting(plan), wishes={"leave_out": marks("padauk")}, spend=lambda: spent.append(1)
        )
    assert "Padauk" in told.value.what and told.value.mend
    assert not CutSearch.objects.exists() and not spent and not waiting()


def marks(wood: str) -> list[str]:
    return list(StockPiece.objects.filter(wood=wood).values_list("mark", flat=True))


def test_stopped_it_stays_as_it_was_and_the_worker_leaves_it(owner, plan):
    search = ask(owner, plan)
    assert stop_looking(who=owner, cutting=cutting(plan)) == 1
    found = CutSearch.objects.get()
    assert found.stop_asked and not found.is_running and found.best == search.best
    run_waiting_tasks()
    found.refresh_from_db()
    assert found.looked == 0 and found.floor is None


@pytest.mark.storage
def test_a_kept_sheet_holds_what_was_found_with_its_set_ups_and_promises_its_boards(owner, plan):
    ask(owner, plan)
    run_waiting_tasks()
    search = CutSearch.objects.get()
    sheet = keep_plan_of(who=owner, cutting=cutting(plan), search=search)
    assert (sheet.form, sheet.cost, sheet.floor) == (search.best, search.cost, search.floor)
    assert sheet.matches_its_hash and sheet.set_ups_record["steps"]
    assert sheets_that_do_not_hold() == []
    used = planning.boards_used(sheet.form)
    assert [one["mark"] for one in sheet.pieces] and {one["mark"] for one in sheet.pieces} == set(used)
    promised = StockPiece.objects.filter(demand__key=f"plan {plan.pk}").values_list("mark", flat=True)
    assert set(promised) == set(used)


@pytest.mark.storage
def test_a_plan_can_be_kept_while_the_search_goes_on_and_ends_it(owner, plan):
    search = ask(owner, plan)
    sheet = keep_plan_of(who=owner, cutting=cutting(plan), search=search)
    search.refresh_from_db()
    assert sheet.floor is None and not search.is_running
    assert sheets_that_do_not_hold() == []


@pytest.mark.storage
def test_sent_twice_it_is_kept_once(owner, plan):
    search = ask(owner, plan)
    keep_plan_of(who=owner, cutting=cutting(plan), search=search, spend=lambda: spend_key(KEY))
    with pytest.raises(AlreadySent):
        keep_plan_of(who=owner, cutting=cutting(plan), search=search, spend=lambda: spend_key(KEY))
    assert CutSheet.objects.count() == 1


@pytest.mark.storage
def test_nothing_is_kept_of_wood_that_was_promised_cut_or_set_aside_meanwhile_and_each_is_told_by_mark(owner, plan):
    search = ask(owner, plan)
    used = planning.boards_used(search.best)
    gone, aside = (StockPiece.objects.get(mark=mark) for mark in used[:2])
    reserve(who=owner, demand=want_wood(label="Heron", key="job 77"), pieces=[gone])
    set_piece_aside(who=owner, piece=aside, reason="a shake")
    with pytest.raises(RackMoved) as told:
        keep_plan_of(who=owner, cutting=cutting(plan), search=search, spend=lambda: spend_key(KEY))
    assert told.value.marks == {
        gone.mark: f"{gone.mark} was promised to Heron meanwhile.",
        aside.mark: f"{aside.mark} was set aside meanwhile: a shake.",
    }
    assert not CutSheet.objects.exists()
    # The key was not spent: the same form can be sent when the rack is as it was.
    spend_key(KEY)


def test_a_board_that_was_only_carried_elsewhere_is_as_it_was(owner, plan):
    search = ask(owner, plan)
    carried = StockPiece.objects.get(mark=planning.boards_used(search.best)[0])
    move_piece(who=owner, piece=carried, place="loft")
    sheet = keep_plan_of(who=owner, cutting=cutting(plan), search=search)
    carried_seen = next(one for one in sheet.pieces if one["mark"] == carried.mark)
    assert carried_seen["version"] == carried.edit_version


@pytest.mark.storage
def test_a_board_promised_to_the_same_key_may_be_cut_and_one_promised_to_another_is_never_planned(owner, plan):
    mine, theirs = StockPiece.objects.filter(wood="padauk").order_by("pk")
    reserve(who=owner, demand=want_wood(label="Flag", key=f"plan {plan.pk}"), pieces=[mine])
    reserve(who=owner, demand=want_wood(label="Heron", key="job 77"), pieces=[theirs])
    search = ask(owner, plan)
    used = planning.boards_used(search.best)
    assert mine.mark in used and theirs.mark not in used
    assert theirs.mark not in [one["mark"] for one in search.pieces]


def test_who_gave_up_wanting_it_gets_no_sheet(owner, plan):
    search = ask(owner, plan)
    with pytest.raises(PlannerError, match="called off"):
        keep_plan_of(who=owner, cutting=cutting(plan, refuses=lambda: "It was called off."), search=search)
    assert not CutSheet.objects.exists()


def test_a_search_of_another_is_not_kept_as_ones_own(owner, plan):
    search = ask(owner, plan)
    with pytest.raises(PlannerError, match="No plan was found"):
        keep_plan_of(who=owner, cutting=cutting(plan, key="another"), search=search)


def test_a_plan_that_does_not_hold_is_never_kept(owner, plan):
    search = ask(owner, plan)
    told = json.loads(search.best)
    told["plan"]["boards"][0]["rough"][0]["length"] *= 9
    search.best = json.dumps(told)
    with pytest.raises(PlannerError, match="does not hold"):
        keep_plan_of(who=owner, cutting=cutting(plan), search=search)


def test_only_the_owner_asks_stops_and_keeps(owner, plan):
    helper = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    search = ask(owner, plan)
    for act in (
        lambda: ask(helper, plan),
        lambda: stop_looking(who=helper, cutting=cutting(plan)),
        lambda: keep_plan_of(who=helper, cutting=cutting(plan), search=search),
    ):
        with pytest.raises(PermissionDenied):
            act()


@pytest.mark.storage
def test_the_database_refuses_to_change_or_delete_a_kept_sheet(owner, plan):
    sheet = keep_plan_of(who=owner, cutting=cutting(plan), search=ask(owner, plan))
    for act in (
        lambda: CutSheet.objects.filter(pk=sheet.pk).update(cost=1),
        lambda: CutSheet.objects.filter(pk=sheet.pk).delete(),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            act()


@pytest.mark.storage
def test_a_sheet_that_is_not_what_it_says_is_named(owner, plan):
    kept = keep_plan_of(who=owner, cutting=cutting(plan), search=ask(owner, plan))
    fields = {f.name: getattr(kept, f.name) for f in CutSheet._meta.concrete_fields if f.name not in ("id", "kept_at")}
    bent = CutSheet.objects.create(**fields | {"sha256": "0" * 64})
    dearer = CutSheet.objects.create(**fields | {"cost": kept.cost + 1})
    faults = sheets_that_do_not_hold()
    assert faults[0] == f"Cut sheet {bent.pk} does not match its hash."
    assert faults[1].startswith(f"Cut sheet {dearer.pk}: It costs {kept.cost}") and len(faults) == 2


@pytest.mark.storage
def test_a_job_keeps_under_its_own_name_and_closed_it_keeps_none(owner, plan):
    from shopapp.jobs.cutting import cutting_of

    job = work.job(owner, plan)
    search = ask_for_plan(who=owner, cutting=cutting_of(job), wishes={})
    job = work.move(owner, job, "called off")
    with pytest.raises(PlannerError, match="called off"):
        keep_plan_of(who=owner, cutting=cutting_of(job), search=search)
    job = work.move(owner, job, "planned")
    assert keep_plan_of(who=owner, cutting=cutting_of(job), search=search).key == f"job {job.pk}"
