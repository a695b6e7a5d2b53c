"""The pieces of a kept cut plan promised to whoever wants it: all of them, or the plan is not kept."""

from __future__ import annotations

from collections.abc import Sequence

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock import promises
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.people.models import Member
from shopapp.plans.models import CutSheet, Plan
from shopapp.workshop.readers import the_workshop

from .doing.planning import boards_of, laid_out
from .doing.standing import newest_sheet, standing_of
from .pieces import what_changed

State = StockPiece.State


def key_of(plan: Plan) -> str:
    """What the rack knows a kept plan by that no job is made of."""
    return f"plan {plan.pk}"


def hold(*, who: Member | None, sheet: CutSheet) -> str:
    """Promise the boards of a sheet to its key, and free those that only the sheet before it had. What was promised to
    the key by hand stays. To be called in the transaction that keeps the sheet; what was done, in a sentence.

    Boards still to be bought are promised to nobody. Raises StockMoved for a board that is not to be had, and
    PlannerError where the sheet before is half cut.
    """
    demand = promises.want_wood(label=sheet.label, key=sheet.key)
    older = CutSheet.objects.filter(key=sheet.key, pk__lt=sheet.pk).first()
    if older is not None:
        _not_half_cut(older)
    numbers = {one["mark"]: one["pk"] for one in sheet.pieces}
    wanted = {numbers[mark] for mark in boards_of(sheet.form) if mark in numbers}
    pieces = StockPiece.objects.filter(pk__in=wanted).select_related("demand").order_by("pk")
    found = list(pieces)
    if len(found) != len(wanted):
        raise StockMoved("A board of this plan is not in the book any more.", mend="Look for a plan again.")
    told = []
    if new := [
        piece for piece in found if piece.state != State.HERE or piece.set_aside or piece.demand_id != demand.pk
    ]:
        told.append(promises.reserve(who=who, demand=demand, pieces=new).words)
    only_before = {one["pk"] for one in older.pieces} - wanted if older is not None else set()
    free = list(StockPiece.objects.filter(pk__in=only_before, state=State.HERE, demand=demand).select_related("demand"))
    if free:
        told.append(promises.release(who=who, pieces=free).words)
    return " ".join(told)


def _not_half_cut(sheet: CutSheet) -> None:
    standing = standing_of(sheet)
    if not standing.is_started:
        return
    ticks = {(board.mark, one.number) for board in laid_out(sheet.form).boards for one in board.ticks}
    if ticks - set(standing.cuts):
        raise PlannerError(
            f"The cut plan kept before is being cut: {len(ticks & set(standing.cuts))} of {len(ticks)} rough lengths "
            "are done, and its boards are out.",
            mend="Cut it to its end, or bring its boards back and undo its start, before another is kept.",
        )


def take_over(*, who: Member | None, plan: Plan, label: str, key: str) -> str:
    """A job is made of a plan: the cut plan kept for the bare plan, and the boards promised to it, become the job's.
    In a sentence what came of it; empty where nothing was kept. To be called in the job's own transaction.

    What is half done, or cannot be cut any more as it was planned, stays with the plan and is told.
    """
    kept = newest_sheet(key_of(plan), plan.pk)
    if kept is None or CutSheet.objects.filter(key=key, plan=plan).exists():
        return ""
    if standing_of(kept).is_started:
        return f"The cut plan of {kept.label} was begun before and stays with the plan."
    promises.want_wood(label=kept.label, key=kept.key)
    numbers = [one["pk"] for one in kept.pieces]
    promised = StockPiece.objects.filter(demand__key=kept.key, state=State.HERE, pk__in=numbers)
    pieces = list(promised.select_related("demand").order_by("pk"))
    if not pieces:
        # Another job took it over before, or all of it was released.
        return ""
    if changed := what_changed(kept.pieces, kept.key, the_workshop().unit, lock=True):
        return f"The cut plan of {kept.label} stays with the plan: {' '.join(changed.values())}"
    promises.release(who=who, pieces=pieces)
    sheet = CutSheet.objects.create(
        **{
            field.name: getattr(kept, field.name)
            for field in CutSheet._meta.concrete_fields
            if field.name not in ("id", "key", "label", "kept_at")
        },
        key=key,
        label=label,
    )
    hold(who=who, sheet=sheet)
    words = f"The cut plan of {kept.label} and its boards are {label}’s now: {_listed(boards_of(sheet.form))}."
    write_audit(who, words, sheet)
    return words


def _listed(marks: Sequence[str]) -> str:
    return ", ".join(marks[:12]) + (f" and {len(marks) - 12} more" * (len(marks) > 12))
