"""The balance of a cut plan is what the ledgers add up to, read by plain SQL."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from fractions import Fraction

from django.db import connection

from shopapp.lumber.stock.actions import undo_entry
from shopapp.plans.cutting.doing import actions
from shopapp.plans.cutting.doing.actions import Back
from shopapp.plans.cutting.doing.checks import cuts_and_rack_that_disagree
from shopapp.plans.models import CutEntry
from tests.support.sawing import as_planned, back, cut, now

CUBIC_INCHES = 144 * Fraction("25.4") ** 3


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
