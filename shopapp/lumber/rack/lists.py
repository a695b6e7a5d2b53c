"""Lists that answer one question of the whole rack, each in a number of queries that does not grow with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db.models import Case, CharField, Count, Exists, F, OuterRef, Q, QuerySet, Value, When

from planner.measures import Length
from shopapp.lumber.looks import WoodSeen
from shopapp.lumber.models import Demand, Lot, StockEntry, StockPiece

from .readers import FITNESS, Section, Sums, by_section, feet_of_nm3

MOST_DEMANDS = 200
State = StockPiece.State


def all_here() -> QuerySet[StockPiece]:
    return StockPiece.objects.filter(state=State.HERE)


def _added(sections: Iterable[tuple[object, Section]]) -> dict[object, Sums]:
    """Sums by their keys; volumes are added up as whole numbers, and made board feet once."""
    running: dict[object, list] = {}
    for key, section in sections:
        sums = running.setdefault(key, [0, 0, Decimal(0)])
        sums[0] += section.pieces
        sums[1] += section.volume
        sums[2] += section.worth
    return {key: Sums(pieces, feet_of_nm3(volume), worth) for key, (pieces, volume, worth) in running.items()}


# --- what it is worth ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Worths:
    """The whole rack, by wood and by place, dearest first."""

    all: Sums
    woods: list[tuple[WoodSeen, Sums]]
    places: list[tuple[str, Sums]]


def worths(seen: Mapping[str, WoodSeen]) -> Worths:
    """Two queries: by both at once there would be as many groups as pieces."""
    of_wood = by_section(all_here(), "wood")
    woods = _added((section.of[0], section) for section in of_wood)
    places = _added((section.of[0], section) for section in by_section(all_here(), "place"))
    whole = _added((None, section) for section in of_wood).get(None, Sums(0, Fraction(0), Decimal(0)))

    def dearest(item: tuple[object, Sums]) -> tuple:
        return (-item[1].worth, str(item[0]))

    return Worths(
        whole,
        [(seen[wood], sums) for wood, sums in sorted(woods.items(), key=dearest)],
        [(str(place), sums) for place, sums in sorted(places.items(), key=dearest)],
    )


# --- what it is promised to ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class PromisedTo:
    demand: int
    label: str
    sums: Sums
    woods: list[tuple[str, Sums]]


def promised(seen: Mapping[str, WoodSeen]) -> list[PromisedTo]:
    """Whoever was promised wood that lies here, by label, with the woods. One query."""
    sections = by_section(all_here().exclude(demand=None), "demand_id", "demand__label", "wood")
    by_demand = _added((section.of[:2], section) for section in sections)
    by_both = _added((section.of, section) for section in sections)
    woods: dict[object, list[tuple[str, Sums]]] = {}
    for (demand, label, wood), sums in by_both.items():
        woods.setdefault((demand, label), []).append((seen[wood].name, sums))
    found = [PromisedTo(key[0], key[1], sums, sorted(woods[key])) for key, sums in by_demand.items()]
    return sorted(found, key=lambda one: (one.label.casefold(), one.demand))


def demands_here() -> list[tuple[str, str]]:
    """Whoever was promised wood that lies here, to choose from. One query."""
    held = all_here().filter(demand=OuterRef("pk"))
    found = Demand.objects.filter(Exists(held)).order_by("label", "pk").values_list("pk", "label")[:MOST_DEMANDS]
    return [(str(pk), label) for pk, label in found]


# --- from which day it is fit to mill -----------------------------------------------------------------------

FIT = {"now": "Fit to mill now", "later": "Not fit to mill yet", "unknown": "No day noted"}


def lots_by_fitness() -> QuerySet[Lot]:
    """Lots with pieces on the rack, soonest fit first, those without a day last; ``here`` counts their pieces."""
    here = Count("pieces", filter=Q(pieces__state=State.HERE))
    found = Lot.objects.filter(Exists(all_here().filter(lot=OuterRef("pk")))).annotate(here=here)
    return found.select_related("delivery__supplier").order_by(F("fit_on").asc(nulls_last=True), "wood", "pk")


def fitness_counts(today: date) -> dict[str, int]:
    """Pieces by whether they are fit to mill: "now", "later", "unknown". One query."""
    when = Case(
        *(When(FITNESS[name](today), then=Value(name)) for name in ("now", "later")),
        default=Value("unknown"),
        output_field=CharField(),
    )
    rows = all_here().order_by().annotate(when=when).values_list("when").annotate(pieces=Count("pk"))
    return dict.fromkeys(FIT, 0) | dict(rows)


# --- too short for anything ---------------------------------------------------------------------------------


def too_short(limit: Length) -> QuerySet[StockPiece]:
    return all_here().filter(length__lt=limit)


@dataclass(frozen=True)
class Scrapped:
    """Pieces scrapped together lately, which may be undone together."""

    entry: StockEntry
    mark: str


def scrapped_together() -> Scrapped | None:
    """The newest scrapping of several at once, while it stands. At most two queries."""
    entry = (
        StockEntry.objects.filter(kind=StockEntry.Kind.SCRAPPED, undone_by=None, words__contains=" were scrapped")
        .order_by("-pk")
        .first()
    )
    if entry is None:
        return None
    return Scrapped(entry, entry.moves.values_list("piece__mark", flat=True).order_by("pk")[0])
