"""What the page of the shorts shows, in a number of queries that grows neither with the rack nor with the plans."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from django.core.cache import cache
from django.db.models import Exists, OuterRef, Subquery

from planner.measures import Length
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.planning import pattern_from_text, pattern_thumbnail
from shopapp.lumber.looks import WoodSeen, woods_seen
from shopapp.lumber.models import StockPiece
from shopapp.lumber.planning import looks_on_hand
from shopapp.lumber.rack.strips import free_pieces
from shopapp.plans.models import Plan
from shopapp.workshop.models import Workshop

from . import planning

# A page to choose from tonight, not an archive.
MOST_PLANS = 40
A_GLANCE = 12
_AN_HOUR = 3600
_BORDERS = ("side border", "through row", "top or bottom border")


@dataclass(frozen=True)
class ToFetch:
    """A piece to fetch: its mark, where it lies, and how many strips come out of it."""

    mark: str
    place: str
    strips: int


@dataclass(frozen=True)
class WoodLine:
    """One wood of a plan: what it wants, what is lacking of it in words, and the pieces it takes."""

    wood: WoodSeen
    wants: str
    lacks: str
    made: planning.WoodMade
    percent: int
    smallest: planning.Lack | None
    fetch: list[ToFetch]


@dataclass(frozen=True)
class Becoming:
    """A kept plan beside what the shorts give of it."""

    plan: Plan
    copies: int
    thumbnail: str
    made: planning.Made
    woods: list[WoodLine]

    @property
    def lacking(self) -> list[WoodLine]:
        return [line for line in self.woods if line.lacks]

    @property
    def unspared(self) -> list[WoodLine]:
        return [line for line in self.woods if not line.made.spared]

    @property
    def pieces(self) -> int:
        return sum(len(line.fetch) for line in self.woods)


@dataclass(frozen=True)
class Shorts:
    """``counted`` pieces were looked at, ``too_short`` more never are; ``more`` plans are not shown. ``plans`` says
    whether any is kept."""

    counted: int
    too_short: int
    plans: bool
    becoming: list[Becoming]
    more: int
    unplanned: list[Design]


def newest_plans() -> list[Plan]:
    """The newest kept plan of each design in view, one more than are shown. One query, without the plans' records."""
    newest = Plan.objects.filter(design=OuterRef("design")).order_by("-kept_at", "-pk").values("pk")[:1]
    found = Plan.objects.filter(design__set_aside=False, pk=Subquery(newest))
    return list(found.select_related("design", "version").defer("inputs", "result"))


def _parts_of(plans: Sequence[Plan]) -> dict[str, str]:
    """What each plan wants, by its hash; a plan never changes, so its record is read once. One query at most."""
    keys = {f"parts:{plan.sha256}": plan.sha256 for plan in plans}
    found = {keys[key]: parts for key, parts in cache.get_many(keys).items()}
    missing = [plan.pk for plan in plans if plan.sha256 not in found]
    for plan in Plan.objects.filter(pk__in=missing).only("result", "sha256") if missing else ():
        found[plan.sha256] = planning.parts_of(plan.record)
        cache.set(f"parts:{plan.sha256}", found[plan.sha256], _AN_HOUR)
    return found


def what_shorts_become(longest: Length | None, workshop: Workshop) -> Shorts:
    """Each plan taken by itself, what can be made first, then what is nearest to it. Seven queries at most."""
    plans = newest_plans()
    more, plans = max(0, len(plans) - MOST_PLANS), plans[:MOST_PLANS]
    pieces = free_pieces(longest)
    tonight = planning.tonight(pieces, workshop)
    becoming = []
    if len(pieces) > tonight.too_short:
        parts = _parts_of(plans)
        made = [(plan, tonight.copies(parts[plan.sha256]), tonight.makes(parts[plan.sha256])) for plan in plans]
        becoming = _becoming(made)
    becoming.sort(key=lambda one: (not one.made.can_be_made, not one.made.spared, -one.made.share, one.plan.title))
    too_short = tonight.too_short
    return Shorts(len(pieces) - too_short, too_short, bool(plans), becoming, more, _unplanned())


def _becoming(plans: Sequence[tuple[Plan, int, planning.Made]]) -> list[Becoming]:
    """Three queries: the woods, their looks, and the pieces to fetch."""
    seen, looks = woods_seen(), looks_on_hand()
    keys = {taken.key for *_, made in plans if made.can_be_made for wood in made.woods for taken in wood.taken}
    marks = {
        pk: (mark, place)
        for pk, mark, place in StockPiece.objects.filter(pk__in=keys).values_list("pk", "mark", "place")
    }
    found = []
    for plan, copies, made in plans:
        thumbnail = _thumbnail(plan.version.pattern, tuple(looks.items()), plan.design.name)
        woods = [_line(wood, seen, marks if made.can_be_made else {}) for wood in made.woods]
        found.append(Becoming(plan, copies, thumbnail, made, woods))
    return found


@lru_cache(maxsize=100)
def _thumbnail(pattern: str, looks: tuple, name: str) -> str:
    """A drawing never changes; it is painted anew when a wood looks otherwise."""
    return pattern_thumbnail(pattern_from_text(pattern), dict(looks), name)


def _unplanned() -> list[Design]:
    """Designs with a pattern of which no plan is kept, the newest few. One query."""
    drawn = PatternVersion.objects.filter(design=OuterRef("pk"))
    planned = Plan.objects.filter(design=OuterRef("pk"))
    return list(Design.objects.filter(Exists(drawn), ~Exists(planned), set_aside=False)[:A_GLANCE])


def _line(made: planning.WoodMade, seen: Mapping[str, WoodSeen], marks: Mapping[int, tuple[str, str]]) -> WoodLine:
    wants = _in_words([(part, part.count) for part in made.parts])
    lacks = _in_words([(lack.part, lack.count) for lack in made.lacks])
    # A long part asks for more than a short one; the piece that is easiest to find is told.
    smallest = min(made.lacks, key=lambda lack: (lack.length, lack.width), default=None)
    strips: dict[int, int] = {}
    for taken in made.taken if marks else ():
        strips[taken.key] = strips.get(taken.key, 0) + sum(cut.count for cut in taken.strips)
    fetch = [ToFetch(*marks[key], many) for key, many in strips.items()]
    # Cut down, not rounded: all but one tile is not all.
    percent = int(made.share * 100)
    return WoodLine(seen[made.wood], wants, lacks, made, percent, smallest, sorted(fetch, key=_by_place))


def _by_place(piece: ToFetch) -> tuple[str, int, str]:
    """Walked along the rack, marks in the order of their numbers."""
    return piece.place, len(piece.mark), piece.mark


def _in_words(parts: Sequence[tuple[planning.Wanted, int]]) -> str:
    """ "14 tiles in 3 runs and 2 border pieces"; empty for none."""
    strips = [count for part, count in parts if part.kind.endswith("strip")]
    if strips:
        return _many(sum(count for _, count in parts), "strip") + " for panels"
    laid = [(part, count) for part, count in parts if part.kind not in _BORDERS]
    tiles, runs = sum(part.tiles * count for part, count in laid), sum(count for _, count in laid)
    borders = sum(count for part, count in parts if part.kind in _BORDERS)
    words = [_many(tiles, "tile") + (f" in {_many(runs, 'run')}" if tiles != runs else "")] if tiles else []
    words += [_many(borders, "border piece")] if borders else []
    return " and ".join(words)


def _many(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
