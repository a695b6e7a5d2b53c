"""Cuts are ticked at the bench, offcuts come back as measured, and the balance is what the ledgers add up to."""

from __future__ import annotations

import json
import re
import secrets
from collections import Counter
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import IntegrityError, connection, transaction
from django.urls import reverse

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.jobs.models import Job
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import Size, undo_entry
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.people.models import Member
from shopapp.plans.cutting.doing import actions
from shopapp.plans.cutting.doing.actions import Back
from shopapp.plans.cutting.doing.checks import cuts_and_rack_that_disagree
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.cutting.doing.readers import doing_of
from shopapp.plans.models import CutEntry
from shopapp.workshop.readers import the_workshop
from tests.support.sawing import kept_job

mm = Length.of_mm
CUBIC_INCHES = 144 * Fraction("25.4") ** 3


@pytest.fixture
def begun(owner):
    """A job's cut plan, started."""
    cutting, sheet = kept_job(owner)
    actions.start(who=owner, cutting=cutting, sheet=sheet)
    return cutting, sheet


@pytest.fixture
def begun_marks(begun):
    return [board.mark for board in laid_out(begun[1].form).boards]


@pytest.fixture(autouse=True)
def the_books_agree(db):
    yield
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
    assert cuts_and_rack_that_disagree() == []


def now(cutting):
    return doing_of(cutting, the_workshop())


def board_now(cutting, mark):
    return next(one for one in now(cutting).boards if one.board.mark == mark)


def cut(owner, begun, mark, rough=None):
    return actions.report(who=owner, cutting=begun[0], sheet=begun[1], board=mark, rough=rough)


def back(owner, begun, mark, *said, **changes):
    version = StockPiece.objects.get(mark=mark).edit_version
    given = {"who": owner, "cutting": begun[0], "sheet": begun[1], "board": mark, "back": said, "seen_version": version}
    return actions.bring_back(**{**given, **changes})


def as_planned(begun, mark) -> list[Back]:
    piece = StockPiece.objects.get(mark=mark)
    return [
        Back(one, Size(one.milled or piece.thickness, one.width, one.length, bool(one.milled) or None))
        for one in board_now(begun[0], mark).waiting
    ]


# --- ticks ------------------------------------------------------------------------------------------------------


def test_nothing_is_ticked_before_its_board_is_out(owner):
    cutting, sheet = kept_job(owner)
    mark = laid_out(sheet.form).boards[0].mark
    with pytest.raises(StockMoved, match=f"{mark} is not out for Flag"):
        actions.report(who=owner, cutting=cutting, sheet=sheet, board=mark, rough=1)
    assert not CutEntry.objects.exists()


def test_progress_counts_boards_rough_lengths_and_pieces_of_those_wanted(owner, begun, begun_marks):
    before = now(begun[0])
    wanted = sum(part["count"] for part in json.loads(begun[1].form)["parts"])
    assert (before.boards_done, before.made, before.wanted) == (0, 0, wanted)
    cut(owner, begun, begun_marks[0])
    after = now(begun[0])
    strips = [
        strip
        for one in json.loads(begun[1].form)["plan"]["boards"]
        if one["board"] == begun_marks[0]
        for rough in one["rough"]
        for strip in rough["strips"]
    ]
    assert after.boards_done == 1 and after.made == sum(n for strip in strips for _, n in strip["parts"])
    for mark in begun_marks[1:]:
        cut(owner, begun, mark)
    assert now(begun[0]).is_done and now(begun[0]).made == wanted


def test_a_tick_is_given_once_taken_back_by_another_entry_and_given_again(owner, begun, begun_marks):
    mark = begun_marks[0]
    (entry,) = cut(owner, begun, mark, 1)
    assert entry.words.startswith(f"{mark}-1 was cut: ") and entry.who == owner
    with pytest.raises(actions.DoneMeanwhile, match=f"{mark}-1 was ticked already by mara"):
        cut(owner, begun, mark, 1)
    actions.undo(who=owner, cutting=begun[0], sheet=begun[1], entry=entry)
    assert now(begun[0]).cuts_done == 0
    cut(owner, begun, mark, 1)
    assert now(begun[0]).cuts_done == 1
    assert [one.kind for one in CutEntry.objects.order_by("pk")] == ["started", "cut", "undone", "cut"]


@pytest.mark.storage
def test_what_was_done_is_never_changed_or_deleted(owner, begun, begun_marks):
    cut(owner, begun, begun_marks[0])
    for change in (lambda: CutEntry.objects.update(words="x"), lambda: CutEntry.objects.all().delete()):
        with pytest.raises(IntegrityError), transaction.atomic():
            change()


@pytest.mark.parametrize(("board", "rough"), [("X99", 1), ("", None), (None, 99)])
def test_what_is_not_on_the_sheet_is_not_ticked(owner, begun, begun_marks, board, rough):
    with pytest.raises(PlannerError):
        cut(owner, begun, begun_marks[0] if board is None else board, rough)
    assert CutEntry.objects.count() == 1


def test_strips_are_told_as_the_saw_is_set_for_them(begun):
    """Ripped wider than their parts are after gauging by the shop's allowance; pieces are counted as gauged."""
    told = json.loads(begun[1].form)
    step, over = Fraction(re.fullmatch(r"(\S+) mm", told["unit"])[1]), told["rules"]["over_width"]
    assert over > 0
    board, plain = laid_out(begun[1].form).boards[0], told["plan"]["boards"][0]["rough"][0]["strips"]
    assert [strip.width.mm for strip in board.ticks[0].strips] == [(strip["width"] + over) * step for strip in plain]
    sizes = {(one.width.mm / step, one.length.mm / step) for one in laid_out(begun[1].form).parts}
    assert sizes == {(part["width"], part["length"]) for part in told["parts"]}


# --- offcuts ----------------------------------------------------------------------------------------------------


def test_planned_offcuts_stand_ready_once_their_rough_length_is_ticked(owner, owner_client, begun, begun_marks):
    mark = begun_marks[1]
    assert board_now(begun[0], mark).waiting == []
    cut(owner, begun, mark)
    waiting = board_now(begun[0], mark).waiting
    planned = [one for one in json.loads(begun[1].form)["plan"]["offcuts"] if one["board"] == mark]
    assert Counter(one.kind for one in waiting) == Counter(one["kind"] for one in planned) and planned
    form = owner_client.get(begun[0].to("cut_back", mark)).context["form"]
    edge = next(one for one in waiting if one.kind == "edge")
    # Beside the strips it is as thick as it was milled; an end that was kept whole is as wide and thick as its board.
    assert form[f"thickness_{edge.ref}"].initial == mm(21) and form[f"length_{edge.ref}"].initial == edge.length
    end = next(one for one in waiting if one.kind == "end")
    assert form[f"thickness_{end.ref}"].initial == mm(32) and form[f"width_{end.ref}"].initial == mm(150)


def test_confirmed_measured_anew_and_thrown_away(owner, begun, begun_marks):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    edge, end = as_planned(begun, mark)
    shorter = Size(edge.size.thickness, edge.size.width, mm(300), surfaced=True)
    entry, made = back(owner, begun, mark, Back(edge.planned, shorter), Back(end.planned, None))
    assert [(piece.mark, piece.length, piece.surfaced) for piece in made] == [(f"{mark}a", mm(300), True)]
    assert made[0].parent.mark == mark and made[0].state == "here" and made[0].demand is None
    assert entry.words == f"{mark}a came back of {mark}. 1 offcut of {mark} was thrown away."
    assert board_now(begun[0], mark).waiting == []
    with pytest.raises(actions.DoneMeanwhile, match="settled already"):
        back(owner, begun, mark, Back(end.planned, end.size))


def test_what_came_back_is_worth_its_share_by_volume(owner, begun, begun_marks):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    worth = Decimal(next(one["worth"] for one in begun[1].pieces if one["mark"] == mark))
    _, end = as_planned(begun, mark)
    _, (piece,) = back(owner, begun, mark, end)
    share = Fraction(worth) * (32 * end.size.width.mm * end.size.length.mm) / (32 * 150 * 1200)
    assert abs(Fraction(piece.worth) - share) <= Fraction(1, 200)


def test_a_coming_back_is_undone_here_and_its_offcuts_wait_again(owner, begun, begun_marks):
    mark = begun_marks[1]
    (ticked,) = cut(owner, begun, mark)
    entry, (piece, _) = back(owner, begun, mark, *as_planned(begun, mark))
    with pytest.raises(PlannerError, match="came back from that cut"):
        actions.undo(who=owner, cutting=begun[0], sheet=begun[1], entry=ticked)
    actions.undo(who=owner, cutting=begun[0], sheet=begun[1], entry=entry)
    piece.refresh_from_db()
    assert piece.state == "undone" and len(board_now(begun[0], mark).waiting) == 2


def test_a_coming_back_undone_on_the_rack_s_own_page_is_undone_at_the_bench_too(owner, begun, begun_marks):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    entry, _ = back(owner, begun, mark, *as_planned(begun, mark))
    undo_entry(who=owner, entry=entry.stock_entry)
    assert len(board_now(begun[0], mark).waiting) == 2


def test_more_than_the_parts_leave_does_not_come_back(owner, begun, begun_marks):
    mark = begun_marks[0]
    cut(owner, begun, mark)
    with pytest.raises(PlannerError, match="With the parts cut of it"):
        back(owner, begun, mark, Back(None, Size(mm(32), mm(150), mm(1190))))
    assert not StockPiece.objects.filter(parent__mark=mark).exists()


def test_an_offcut_of_what_is_not_ticked_does_not_come_back(owner, begun, begun_marks):
    board = laid_out(begun[1].form).boards[0]
    one = board.offcuts[0]
    with pytest.raises(PlannerError, match="not ticked as cut yet"):
        back(owner, begun, board.mark, Back(one, Size(mm(21), one.width, one.length)))


def test_who_opened_the_page_before_another_brought_offcuts_back_is_told(owner, begun, begun_marks):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    seen = StockPiece.objects.get(mark=mark).edit_version
    edge, end = as_planned(begun, mark)
    back(owner, begun, mark, edge)
    with pytest.raises(StockMoved, match="changed meanwhile"):
        back(owner, begun, mark, end, seen_version=seen)


def test_a_board_that_was_cut_does_not_come_back_whole_on_the_page_of_the_job_s_wood(
    owner, owner_client, begun, begun_marks
):
    mark, other = begun_marks[:2]
    (entry,) = cut(owner, begun, mark)
    job = Job.objects.get()

    def whole(board):
        version = StockPiece.objects.get(mark=board).edit_version
        typed = {"do": "whole", "edit_version": version, "form_key": secrets.token_urlsafe(24)}
        return owner_client.post(reverse("jobs:back", args=[job.pk, board]), typed)

    refused = whole(mark)
    assert refused.status_code == 422 and f"{mark} is not whole any more" in refused.content.decode()
    assert whole(other).status_code == 302 and StockPiece.objects.get(mark=other).state == "here"
    # What came back whole is not out: it is taken again before it is cut.
    with pytest.raises(StockMoved):
        cut(owner, begun, other)
    assert [one.board.mark for one in now(begun[0]).to_take] == [other]
    actions.start(who=owner, cutting=begun[0], sheet=begun[1])
    cut(owner, begun, other)
    actions.undo(who=owner, cutting=begun[0], sheet=begun[1], entry=entry)
    assert whole(mark).status_code == 302


# --- the balance, against plain SQL --------------------------------------------------------------------------------


def plain_balance(sheet) -> dict[str, Fraction]:
    """Cubic millimetres from the tables alone: rows read by SQL, sizes from the entries, the parts from the JSON."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT p.mark, p.thickness, p.width, p.length FROM lumber_stockpiece p JOIN lumber_demand d "
            "ON d.id = p.demand_id WHERE p.state = 'taken' AND d.key = %s",
            [sheet.key],
        )
        out = {mark: (t, w, n) for mark, t, w, n in cursor.fetchall()}
        cursor.execute(
            "SELECT m.after FROM lumber_stockmove m JOIN lumber_stockpiece p ON p.id = m.piece_id "
            "JOIN lumber_stockpiece q ON q.id = p.parent_id JOIN lumber_stockentry e ON e.id = m.entry_id "
            "JOIN lumber_demand d ON d.id = q.demand_id WHERE e.kind = 'returned' AND d.key = %s "
            "AND NOT EXISTS (SELECT 1 FROM lumber_stockentry u WHERE u.undoes_id = e.id)",
            [sheet.key],
        )
        came = [json.loads(after) if isinstance(after, str) else after for (after,) in cursor.fetchall()]
        cursor.execute(
            "SELECT c.board, c.rough FROM plans_cutentry c WHERE c.kind = 'cut' AND c.sheet_id = %s "
            "AND NOT EXISTS (SELECT 1 FROM plans_cutentry u WHERE u.undoes_id = c.id)",
            [sheet.pk],
        )
        ticked = set(cursor.fetchall())
    told = json.loads(sheet.form)
    step = Fraction(re.fullmatch(r"(\S+) mm", told["unit"])[1]) ** 3
    parts = sum(
        strip["width"] * rough["thickness"] * length * count
        for one in told["plan"]["boards"]
        for number, rough in enumerate(one["rough"], start=1)
        if (one["board"], number) in ticked
        for strip in [*rough["strips"], *rough.get("under", [])]
        for length, count in strip["parts"]
    )
    whole = sum(Fraction(t * w * n, 10**18) for t, w, n in out.values())
    returned = sum(Fraction(a["thickness"] * a["width"] * a["length"], 10**18) for a in came)
    return {"out": whole, "parts": parts * step, "back": returned}


def plain_worth(key: str) -> Decimal:
    """What stands on the job's account: all that went to it less all that came from it."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT worth, went_to FROM lumber_stockmove WHERE went_to = %s OR came_from = %s",
            [f"for {key}", f"for {key}"],
        )
        rows = cursor.fetchall()
    return sum((Decimal(str(worth)) * (1 if to == f"for {key}" else -1) for worth, to in rows), Decimal(0))


def test_the_balance_is_what_plain_sql_adds_up_to_at_every_step(owner, begun, begun_marks):
    cutting, sheet = begun

    def agrees():
        shown, plain = now(cutting), plain_balance(sheet)
        total = shown.total
        assert {name: getattr(total, name) for name in plain} == plain
        assert total.out == total.parts + total.back + total.waiting + total.uncut + total.gone
        assert total.gone >= 0 and sum(one.share.out for one in shown.balance) == total.out
        assert total.feet["out"] == plain["out"] / CUBIC_INCHES
        assert shown.moved.worth_used == plain_worth(cutting.key).quantize(Decimal("0.0001"))

    agrees()
    for mark in begun_marks:
        cut(owner, begun, mark)
        agrees()
    entries = []
    for mark in begun_marks[1:3]:
        entry, _ = back(owner, begun, mark, *as_planned(begun, mark))
        entries.append(entry)
        agrees()
    back(owner, begun, begun_marks[3], *(Back(one.planned, None) for one in as_planned(begun, begun_marks[3])))
    agrees()
    actions.undo(who=owner, cutting=cutting, sheet=sheet, entry=entries[0])
    agrees()
    assert now(cutting).total.uncut == 0 and now(cutting).waiting > 0


def test_verify_tells_a_cut_of_a_board_that_the_rack_says_is_not_out(owner, begun, begun_marks):
    entry = CutEntry.objects.get(kind="started")
    undo_entry(who=owner, entry=entry.stock_entry)
    mark = begun_marks[0]
    wrong = CutEntry.objects.create(sheet=begun[1], kind="cut", board=mark, rough=1, words="by another hand")
    assert cuts_and_rack_that_disagree() == [f"Cut sheet {begun[1].pk}: {mark} was cut, and is not out for Flag."]
    CutEntry.objects.create(sheet=begun[1], kind="undone", undoes=wrong, words="Undone: by another hand")


# --- the pages ----------------------------------------------------------------------------------------------------


def press(client, begun, do, **changes):
    typed = {"do": do, "sheet": begun[1].pk, "form_key": secrets.token_urlsafe(24), **changes}
    return client.post(begun[0].to("cut_doing"), typed)


def test_a_helper_ticks_and_brings_back_and_sees_no_price(owner, client, begun, begun_marks):
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    client.force_login(joss)
    mark = begun_marks[1]
    answer = press(client, begun, f"cut:{mark}:0")
    assert answer.status_code == 302 and answer.url.endswith(f"#r-{mark}-1")
    assert CutEntry.objects.first().who == joss
    page = client.get(begun[0].to("cut_doing")).content.decode()
    assert "€" not in page and "Where its wood is" in page
    form = client.get(begun[0].to("cut_back", mark)).context["form"]
    typed = dict.fromkeys(form.fields, "")
    typed |= {f"fate_{ref}": "thrown" for ref in form.planned}
    typed |= {"form_key": "t" * 24, "edit_version": str(form.piece.edit_version)}
    assert client.post(begun[0].to("cut_back", mark), typed).status_code == 302
    assert board_now(begun[0], mark).waiting == []
    assert press(client, begun, "ask").status_code == 403


def test_sent_twice_is_done_once(owner, owner_client, begun, begun_marks):
    key = secrets.token_urlsafe(24)
    for _ in range(2):
        assert press(owner_client, begun, f"cut:{begun_marks[0]}:1", form_key=key).status_code == 302
    assert CutEntry.objects.filter(kind="cut").count() == 1


@pytest.mark.parametrize(
    "do", ["", "cut", "cut:X:1", "cut:S1", "cut:S1:99", "cut:::", "undo:", "undo:0", "undo:9999999", "burn", "cut:\0:1"]
)
def test_nonsense_is_refused_in_words_and_changes_nothing(owner, owner_client, begun, do):
    before = CutEntry.objects.count()
    answer = press(owner_client, begun, do)
    assert answer.status_code in (404, 422) and CutEntry.objects.count() == before


def test_an_offcut_longer_than_its_board_is_refused_at_its_field_and_what_was_typed_stays(
    owner, owner_client, begun, begun_marks
):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    address = begun[0].to("cut_back", mark)
    form = owner_client.get(address).context["form"]
    ref = next(iter(form.planned))
    typed = {f"fate_{one}": "later" for one in form.planned}
    typed |= {f"fate_{ref}": "back", f"length_{ref}": "1300", f"width_{ref}": "40", f"thickness_{ref}": "21"}
    typed |= {"form_key": "t" * 24, "edit_version": str(form.piece.edit_version)}
    answer = owner_client.post(address, typed)
    assert answer.status_code == 422 and "had less when it was taken" in answer.content.decode()
    assert answer.context["form"][f"length_{ref}"].value() == "1300"
    assert not StockPiece.objects.filter(parent__mark=mark).exists()
    # Nothing said of any of them changes nothing either.
    typed |= {f"fate_{ref}": "later"}
    assert "Nothing was said of any offcut" in owner_client.post(address, typed).content.decode()
