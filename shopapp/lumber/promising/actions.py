"""Ticked pieces reserved, released, taken or brought back whole, all of them or none; which of them stood in the way is
told by mark."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.db import transaction

from planner.errors import PlannerError
from shopapp.lumber.models import Demand, StockEntry, StockPiece
from shopapp.lumber.stock import promises
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.people.models import Member

from .wanted import Wanted

MOST_TICKS = 200
State = StockPiece.State


@dataclass(frozen=True)
class Tick:
    """A piece as it was seen when it was ticked."""

    pk: int
    version: int

    @property
    def text(self) -> str:
        return f"{self.pk}.{self.version}"


def read_ticks(texts: Sequence[str]) -> list[Tick]:
    """Ticks as a page sends them, "12.3"; what is none is passed over. Raises PlannerError for too many."""
    ticks: dict[int, Tick] = {}
    for text in texts:
        number, _, version = text.partition(".")
        if all(part.isascii() and part.isdigit() and len(part) < 18 for part in (number, version)):
            ticks[int(number)] = Tick(int(number), int(version))
    if len(ticks) > MOST_TICKS:
        raise PlannerError(f"More than {MOST_TICKS} pieces are ticked.", mend="Do it in two goes.")
    return list(ticks.values())


class InTheWay(PlannerError):
    """Some of the ticked pieces could not be had, so nothing was done. ``marks`` says of each why."""

    def __init__(self, marks: dict[int, str]) -> None:
        self.marks = marks
        super().__init__(" ".join(marks.values()), mend="Nothing was changed; the other ticks still stand.")


def do_with_ticked(
    *, who: Member, wanted: Wanted, do: str, ticks: Sequence[Tick], spend: Callable[[], None] = lambda: None
) -> StockEntry:
    """Reserve, release, take or bring back ``whole`` (``do``) every ticked piece for whoever wants them. Raises
    InTheWay."""
    try:
        with transaction.atomic():
            spend()
            if do not in ("release", "whole") and (closed := wanted.refuses()):
                raise PlannerError(closed)
            demand = promises.want_wood(label=wanted.label, key=wanted.key)
            pieces = _as_seen(ticks)
            if do == "release":
                if strangers := {p.pk: _not_mine(p, demand) for p in pieces if p.demand_id != demand.pk}:
                    raise InTheWay(strangers)
                return promises.release(who=who, pieces=pieces)
            if do == "whole":
                _untouched(pieces, wanted, demand)
                return promises.bring_all_back_whole(who=who, pieces=pieces)
            act = promises.take if do == "take" else promises.reserve
            return act(who=who, demand=demand, pieces=pieces)
    except StockMoved as moved:
        raise InTheWay(_why(ticks, wanted, do) or {0: str(moved)}) from moved


def _untouched(pieces: Sequence[StockPiece], wanted: Wanted, demand: Demand) -> None:
    told = {
        piece.pk: f"{piece.mark} is not out for {demand.label}." for piece in pieces if piece.demand_id != demand.pk
    }
    told |= {piece.pk: why for piece in pieces if piece.pk not in told and (why := wanted.not_whole(piece.mark))}
    if told:
        raise InTheWay(told)


def _as_seen(ticks: Sequence[Tick]) -> list[StockPiece]:
    """The pieces, each held to the version that was seen."""
    seen = {tick.pk: tick.version for tick in ticks}
    pieces = list(StockPiece.objects.filter(pk__in=seen).select_related("demand").order_by("pk"))
    for piece in pieces:
        piece.edit_version = seen[piece.pk]
    return pieces


def _why(ticks: Sequence[Tick], wanted: Wanted, do: str) -> dict[int, str]:
    """Of each piece that is not as it was seen, in a sentence by its mark."""
    seen = {tick.pk: tick.version for tick in ticks}
    told = {}
    for piece in StockPiece.objects.filter(pk__in=seen).select_related("demand").order_by("mark"):
        mine = piece.demand is not None and piece.demand.key == wanted.key
        if do == "whole":
            if piece.state != State.TAKEN or not mine:
                told[piece.pk] = f"{piece.mark} is not out for {wanted.label} any more."
        elif piece.state != State.HERE:
            by = f" for {piece.demand.label}" if piece.demand else ""
            told[piece.pk] = f"{piece.mark} is not on the rack any more: {piece.get_state_display()}{by}."
        elif piece.demand is not None and not mine:
            told[piece.pk] = f"{piece.mark} was promised to {piece.demand.label} meanwhile."
        elif piece.set_aside and do == "reserve":
            told[piece.pk] = f"{piece.mark} was set aside meanwhile: {piece.set_aside}."
        elif do == "release" and not mine:
            told[piece.pk] = f"{piece.mark} is free already."
        if piece.pk not in told and piece.edit_version != seen[piece.pk]:
            told[piece.pk] = f"{piece.mark} was changed meanwhile; tick it again if it still does."
    return told


def _not_mine(piece: StockPiece, demand: Demand) -> str:
    return f"{piece.mark} is not promised to {demand.label}."
