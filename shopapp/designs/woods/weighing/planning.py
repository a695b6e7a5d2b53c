"""The door to the planner for weighing one choice of woods against another: its scores and what its wood costs."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.core.cache import cache

from planner.build import BoardSpec
from planner.errors import PlannerError
from planner.figures import Figure, Term
from planner.matching import Scores
from planner.measures import Length
from planner.pattern import Pattern
from planner.reckoning import WoodOffer, reckon_wood
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import first_sizes

OF_100 = "of 100"
OURS = "the planner's own measure, by CIEDE2000 differences of colour; common practice, no source"
# A board of many columns is tried in smaller tiles, round in the shop's own units, until it can be cut.
SMALLER = {
    "mm": [Length.of_mm(n) for n in (15, 12, 10)],
    "in": [Length.of_inches(text) for text in ("5/8", "1/2", "3/8")],
}


# --- scores ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class ScoreLines:
    """The four scores of a choice as records of figures, each with its rule in a woodworker's words."""

    edges: dict
    order: dict
    made_up: dict
    off: dict

    @property
    def kept(self) -> int:
        """Parts of a hundred of the edges kept."""
        return int(amount(self.edges))


def amount(record: dict) -> Fraction:
    """The number of a figure's record."""
    return Fraction(record["value"][1])


def score_lines(scores: Scores) -> ScoreLines:
    edges = _whole(
        scores.legibility,
        "how much of the picture's edges can still be seen: every side between two squares whose colours are told "
        "apart counts, the stronger the more, and so does the outline against the wood behind",
    )
    order = _whole(scores.order, "of the sides where one colour is clearly lighter, those with the lighter wood there")
    made_up = Figure(
        _tenths(scores.false_edges * 100),
        OF_100,
        "of the sides between squares that look alike, those where two woods now make an edge",
        OURS,
    )
    off = Figure(
        _tenths(scores.distance),
        "",
        "how far a tile's wood is from its colour, the mean of all tiles: 2 is just seen side by side, 10 at a glance",
        "CIEDE2000 (Sharma, Wu and Dalal, 2005)",
    )
    return ScoreLines(edges.as_record(), order.as_record(), made_up.as_record(), off.as_record())


def in_one(scores: Scores) -> dict:
    """All four scores behind one opening: the edges kept, with the others and their rules as its terms."""
    lines = score_lines(scores)
    edges = Figure.from_record(lines.edges)
    terms = tuple(
        Term(name, Figure.from_record(record))
        for name, record in (
            ("Lights in order", lines.order),
            ("Edges made up", lines.made_up),
            ("Colours off by", lines.off),
        )
    )
    return Figure(edges.value, edges.unit, edges.rule, edges.source, terms).as_record()


def _whole(share: float, rule: str) -> Figure:
    # Rounded down: what is nearly all is not all.
    return Figure(int(share * 100 + 1e-9), OF_100, rule, OURS)


def _tenths(value: float) -> Fraction:
    return Fraction(round(value * 10), 10)


# --- what the wood costs -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class WoodCost:
    """What the wood of one board costs as a figure's record, or in words why it cannot be told."""

    record: dict | None = None
    trouble: str = ""
    field: str = ""

    @property
    def amount(self) -> Decimal | None:
        return None if self.record is None else Decimal(self.record["value"][1])


@dataclass(frozen=True)
class FirstBoard:
    """The board whose wood is reckoned: first sizes, in tiles as large as its many columns allow."""

    sizes: Mapping[str, Length]
    smaller: bool


class WoodReckoner:
    """Reckons the wood of patterns of one size, all for the same board, with the shop and the woods read once."""

    def __init__(self, workshop: Workshop, offers: Mapping[str, WoodOffer], behind: str) -> None:
        self.workshop, self.offers, self.behind = workshop, offers, behind
        self.shop = workshop_planning.shop_of(workshop)
        self.first = first_sizes(workshop.unit)
        self.pitch: Length | None = None
        self.too_large: WoodCost | None = None

    @property
    def board(self) -> FirstBoard | None:
        """The board that was reckoned, None while none could be."""
        if self.pitch is None:
            return None
        return FirstBoard({**self.first, "pitch": self.pitch}, self.pitch != self.first["pitch"])

    @property
    def unpriced(self) -> list[str]:
        """Woods whose price is nought, so that they count for nothing."""
        return [offer.name for offer in self.offers.values() if not offer.price]

    def cost_of(self, pattern: Pattern) -> WoodCost:
        if self.too_large is not None:
            return self.too_large
        pitches = [self.pitch] if self.pitch else [self.first["pitch"], *SMALLER[self.workshop.unit]]
        tried = []
        for pitch in pitches:
            found = self._remembered(pattern, pitch)
            if found.record is not None:
                self.pitch = pitch
                return found
            tried.append(found)
        # What is wrong with one wood's stock is not wrong with another's; what is too large is so in all of them.
        if self.pitch is None and tried[0].field not in ("thickness", "stock"):
            self.too_large = tried[0]
        return tried[0]

    def _remembered(self, pattern: Pattern, pitch: Length) -> WoodCost:
        asked = (
            pattern, str(pitch.mm), self.behind, {name: str(size.mm) for name, size in self.first.items()}, self.shop,
            list(self.offers.values()), self.workshop.currency_exponent,
        )  # fmt: skip
        key = "woods:cost:" + hashlib.sha256(repr(asked).encode()).hexdigest()
        found = cache.get(key)
        if found is None:
            found = self._reckon(pattern, pitch)
            cache.set(key, found, 600)
        return found

    def _reckon(self, pattern: Pattern, pitch: Length) -> WoodCost:
        sizes = {**self.first, "pitch": pitch}
        spec = BoardSpec(use="wall", method="runs", quantity=1, border_wood=self.behind, **sizes)
        try:
            figure = reckon_wood(pattern, spec, self.shop, self.offers, exponent=self.workshop.currency_exponent)
        except PlannerError as error:
            return WoodCost(trouble=str(error), field=error.field)
        return WoodCost(figure.as_record())
