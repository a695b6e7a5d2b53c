"""What is told of a piece: taken from its job on the day it is numbered, frozen in the piece, read from there ever
after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from shopapp.jobs.done.madeof import materials_of
from shopapp.jobs.gauged.readers import gauged_of
from shopapp.jobs.models import Job
from shopapp.listings.models import Piece
from shopapp.quotes.wording import CARE
from shopapp.workshop.models import Adhesive, Finish
from shopapp.workshop.readers import the_workshop

from . import planning

FORM = 1
NM_PER_MM = 10**6
_UNKNOWN: dict[str, Any] = {"size": None, "grams": None, "woods": [], "use": "", "care": [], "cautions": []}


@dataclass(frozen=True)
class WoodFact:
    """``share`` of the face, None where it is not known; ``listed`` says why papers may be asked for abroad and
    ``allergen`` what is said of the wood as one, "" where there is nothing to say."""

    key: str
    name: str
    scientific: str
    share: Fraction | None
    listed: str
    allergen: str


@dataclass(frozen=True)
class PieceFacts:
    """``size`` is wide, high and thick in nanometres as the piece hangs, ``grams`` as it was reckoned; None where the
    job had no plan. ``use`` is "wall", "serving", "trivet", "knife" or "". ``finish_sheet`` names the data sheet."""

    size: tuple[int, int, int] | None
    grams: int | None
    woods: tuple[WoodFact, ...]
    adhesive: str
    finish: str
    finish_sheet: str
    use: str
    care: tuple[str, ...]
    cautions: tuple[str, ...]
    made_on: date


def facts_of(job: Job) -> dict[str, Any]:
    """What a job says of a board it made, as canonical JSON is made of. Five queries at most."""
    adhesive, finish, _ = materials_of(job)
    # A glue or a finish the maker has no record of was only reckoned with: it is told of nothing that is sold.
    glue = Adhesive.objects.filter(name=adhesive).first()
    oil = Finish.objects.filter(name=finish).first()
    told = {
        "form": FORM,
        "adhesive": glue.name if glue else "",
        "finish": oil.name if oil else "",
        "finish_sheet": oil.source if oil else "",
        **_UNKNOWN,
    }
    if job.plan is None:
        return told
    record = job.plan.record
    use, woods = record["spec"]["use"], planning.woods_of(record)
    told |= {
        "size": _size(job, record),
        "grams": planning.weight_of(record),
        "woods": [_wood(key, share) for key, share in woods],
        "use": use,
        "care": [CARE[use]] if use in CARE else [],
        "cautions": planning.cautions_in_use(use, [key for key, _ in woods]),
    }
    return told


def _size(job: Job, record: Mapping[str, Any]) -> list[int]:
    """As gauged at the bench, where it was."""
    wide, high, thick = planning.size_of(record)
    gauged = gauged_of(job, the_workshop())
    if gauged is not None and gauged.sizes is not None:
        wide, high = gauged.sizes.hangs[0]
    # What follows from a gauged tile may be finer than the book, which keeps whole nanometres.
    return [round(side.mm * NM_PER_MM) for side in (wide, high, thick)]


def _wood(key: str, share: Fraction | None) -> dict[str, Any]:
    known = planning.wood_of(key)
    return {
        "key": key,
        "name": known.name,
        "scientific": known.scientific,
        "share": None if share is None else str(share),
        "listed": known.listed,
        "allergen": known.allergen,
    }


def facts(piece: Piece) -> PieceFacts:
    """What stands in the piece; what an older one does not say is empty. No query."""
    told = piece.facts or {}
    return PieceFacts(
        size=tuple(told["size"]) if told.get("size") else None,
        grams=told.get("grams"),
        woods=tuple(
            WoodFact(**{**one, "share": None if one["share"] is None else Fraction(one["share"])})
            for one in told.get("woods", ())
        ),
        adhesive=told.get("adhesive", ""),
        finish=told.get("finish", ""),
        finish_sheet=told.get("finish_sheet", ""),
        use=told.get("use", ""),
        care=tuple(told.get("care", ())),
        cautions=tuple(told.get("cautions", ())),
        made_on=piece.made_on,
    )
