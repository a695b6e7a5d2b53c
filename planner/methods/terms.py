"""What is compared: the ways of building, what each is asked with and what each comes to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from planner.build import BoardSpec
from planner.errors import PlannerError
from planner.figures import Figure
from planner.measures import Length
from planner.methods.effort import Effort
from planner.pricing import Rates
from planner.reckoning import WoodOffer
from planner.shop import Shop

# What end-grain joints hold, published; it stands wherever a seam is told.
END_GRAIN_WORDS = (
    "End-grain butt joints are practically impossible to make strong enough for ordinary service; even special end "
    "joints reach only about 25 % of the wood's strength along the grain. Joints along the grain can be nearly as "
    "strong as the wood."
)
END_GRAIN_SOURCE = "Wood Handbook, FPL-GTR-190, chapter 10"

_METHOD_WORDS = {
    "tiles": "Single tiles",
    "runs": "Runs",
    "deep": "Deep rows",
    "panels": "Panels, end grain up",
    "slices": "Panels, slices face up",
}
_ALONG_WORDS = {"rows": "rows from side to side", "columns": "rows upright"}


class MethodError(PlannerError):
    """A way of building that this board or this shop does not allow."""


@dataclass(frozen=True, slots=True)
class Way:
    """``method`` is one of the board's, or "slices" (panels whose slices stay face up); ``along`` as the board's."""

    method: str
    along: str

    @property
    def key(self) -> str:
        return f"{self.method}-{self.along}"

    @property
    def words(self) -> str:
        """
        >>> Way("runs", "columns").words
        'Runs (rows upright)'
        """
        return f"{_METHOD_WORDS[self.method]} ({_ALONG_WORDS[self.along]})"


WAYS = tuple(Way(method, along) for method in _METHOD_WORDS for along in _ALONG_WORDS)


@dataclass(frozen=True, slots=True)
class Maker:
    """Whose board it is: shop, woods on hand, minutes an operation, and what an hour is worth."""

    shop: Shop
    offers: Mapping[str, WoodOffer]
    times: Mapping[str, Fraction]
    rates: Rates


@dataclass(frozen=True, slots=True)
class Weakest:
    """The weakest seam: where, how much of the board's ``of`` is crossed there by long grain, and the longest stretch
    without any."""

    place: str
    carried: Length
    of: Length
    longest_gap: Length

    @property
    def share(self) -> Fraction:
        return self.carried.mm / self.of.mm

    def meets(self, shop: Shop) -> bool:
        """Never where nothing carries it, however little the maker asks for."""
        return bool(self.carried) and self.share >= shop.least_carried


@dataclass(frozen=True, slots=True)
class Remedy:
    """What would mend a weak seam. Where it is not ``offered``, ``words`` say why; else ``minutes`` and ``wood``
    (money) are what it adds for all copies, and ``carried`` and ``share`` what the seam then carries. ``changes`` is
    what to ask for instead, as the board hangs, where that is all it takes."""

    kind: str
    words: str
    offered: bool
    minutes: Figure | None = None
    wood: Figure | None = None
    carried: Figure | None = None
    share: Fraction | None = None
    meets: bool = False
    changes: Mapping[str, Length | str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Made:
    """One way, for all copies asked for. ``refused`` says why it cannot or should not be made so; figures are there
    where it could be counted all the same. ``weakest`` is None where no seam lies across the grain.

    ``at`` has hours and money (wood + hours) for other numbers of copies."""

    way: Way
    refused: str
    figures: Mapping[str, Figure]
    weakest: Weakest | None
    meets: bool
    effort: Effort | None
    at: Mapping[int, tuple[Fraction, Decimal]]
    remedies: tuple[Remedy, ...] = ()

    @property
    def total(self) -> Decimal:
        value = self.figures["total"].value
        assert isinstance(value, Decimal)
        return value

    @property
    def makes(self) -> bool:
        return not self.refused


def upright_of(spec: BoardSpec, along: str) -> BoardSpec:
    """The same board as it hangs, its rows run ``along`` rows or columns."""
    return spec if spec.along == along else spec.turned()
