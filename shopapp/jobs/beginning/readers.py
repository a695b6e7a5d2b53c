"""What the start of a job takes from the rack: the boards of its cut plan, or those reserved for it; and what is
lacking of what its plan needs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from shopapp.jobs.models import Job
from shopapp.lumber.looks import WoodSeen
from shopapp.lumber.models import StockPiece
from shopapp.lumber.promising.readers import Promised, of_woods, woods_wanted
from shopapp.plans.cutting.doing.actions import to_buy
from shopapp.plans.cutting.doing.standing import newest_sheet
from shopapp.plans.cutting.pieces import what_changed
from shopapp.plans.models import CutSheet, sign_of_read
from shopapp.workshop.models import Workshop


@dataclass(frozen=True)
class Taking:
    """``pieces`` are on the rack and taken by the start; ``kept`` are reserved besides and stay there. ``lacking`` says
    in a sentence each what its plan needs and is not to be had: then nothing is taken."""

    sheet: CutSheet | None
    pieces: list[StockPiece]
    lacking: list[str]
    kept: Sequence[StockPiece] = ()
    out: int = 0

    @property
    def seen(self) -> str:
        """What whoever begins has read."""
        told = [self.sheet.pk if self.sheet else 0, sorted(piece.pk for piece in self.pieces)]
        return sign_of_read(told)

    def woods(self, seen: Mapping[str, WoodSeen]):
        return of_woods(self.pieces, seen)


def taking_of(
    job: Job, promised: Promised, needs: Mapping[str, Fraction], seen: Mapping[str, WoodSeen], shop: Workshop
) -> Taking:
    """Of a job that is not closed. Three queries at most, none without a plan."""
    sheet = newest_sheet(job.key, job.plan_id) if job.plan_id else None
    if sheet is None:
        return Taking(None, promised.reserved, _still(needs, promised, seen, shop), out=len(promised.out))
    outs = {out.piece.mark for out in promised.out}
    missing = [one for one in sheet.pieces if one["mark"] not in outs]
    numbers = [one["pk"] for one in missing]
    pieces = list(StockPiece.objects.filter(pk__in=numbers).order_by("wood", "mark")) if numbers else []
    changed = to_buy(sheet) | (what_changed(missing, job.key, shop.unit) if missing else {})
    here = [piece for piece in pieces if piece.mark not in changed]
    kept = [piece for piece in promised.reserved if piece.pk not in set(numbers)]
    return Taking(sheet, here, list(changed.values()), kept, len(sheet.pieces) - len(missing))


def _still(
    needs: Mapping[str, Fraction], promised: Promised, seen: Mapping[str, WoodSeen], shop: Workshop
) -> list[str]:
    lines = [(one, one.still) for one in woods_wanted(needs, promised, seen)]
    return [
        f"{one.wood.name}: {shop.counts_wood.told(still)} more than is reserved {'or out' if one.out else 'for it'}."
        for one, still in lines
        if still
    ]
