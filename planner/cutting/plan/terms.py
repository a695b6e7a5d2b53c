"""The words of a cut plan, all in whole numbers of one working unit of length and one of money.

A board is crosscut into rough lengths, a rough length is ripped into strips, a strip is crosscut into parts:

    board         end trim | rough length | kerf | rough length | ... | end trim      edge trims along both sides
    rough length  strip / kerf / strip / kerf / ... / what is left beside
    strip         snipe and its cut | part | kerf | part | kerf | ... | what is left, the grip at the least

Which unit is the caller's choice; nothing here knows millimetres, inches, or a currency.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.cutting.lumber import CuttingError

# Prices are whole numbers this much finer than money, so that thousands of parts lose nothing to rounding.
SCALE = 10**6


class CutPlanError(CuttingError):
    """What was asked of the cut plan cannot be made from this stock under these rules."""


class UnsoundPlanError(CutPlanError):
    """Every plan found failed the checker; nothing the caller can mend."""


@dataclass(frozen=True, slots=True)
class Part:
    """``count`` pieces alike, at their sizes after gauging: ``width`` by ``thickness`` by ``length``, in units.

    ``shade`` other than "" asks for boards of that shade; parts of one wood that share a ``bound`` other than "" all
    come from one board, whichever it is. ``pieces`` are lengths the part is crosscut into at last, so that they come
    out of one strip next to one another (the left and right border of a row); ``length`` is then their sum with
    ``Rules.over_length`` and a crosscut kerf between each two. Without ``pieces`` the part is one piece.
    """

    wood: str
    width: int
    thickness: int
    length: int
    count: int
    name: str = ""
    shade: str = ""
    bound: str = ""
    pieces: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class StockBoard:
    """One board on the rack. ``width`` and ``length`` in units as it lies there; ``yields`` the greatest thickness
    that can be milled from it; ``cost`` what using it takes from the rack, in money units; ``worth`` what an offcut
    of it that is kept is worth, in money units for ``Rules.worth_area`` square units, 0 for nothing.

    ``resawn`` is the greatest thickness each of two layers yields once a rough length is resawn, 0 where it is not
    to be; an offcut of a layer is worth half, ``worth // 2``. ``bad`` are stretches (from, to) along the length to be
    avoided, from the end the tape is hooked on, in order and apart; no rough length that is ripped or kept touches
    one, and each counts at least as wide as the crosscut kerf, from where it begins, because the cuts that free the
    clear wood lie in it. ``offcut`` says that it came back from other work."""

    name: str
    wood: str
    width: int
    length: int
    yields: int
    cost: int
    worth: int = 0
    shade: str = ""
    resawn: int = 0
    bad: tuple[tuple[int, int], ...] = ()
    offcut: bool = False


@dataclass(frozen=True, slots=True)
class Rules:
    """How this shop cuts, in units. Defaults are none: every value is the maker's (see ``planner.shop``).

    ``crosscut_kerf`` and ``rip_kerf`` what each blade takes; ``end_trim`` lost at each end of a board and
    ``edge_trim`` along each of its edges; ``snipe`` lost at each end of a ripped rough length; ``grip`` the end of
    every strip that is never cut into parts (the snipe at that end lies within it); ``longest_rip`` the longest
    rough length ripped, 0 for no limit; ``grid`` the steps ripped rough lengths are measured in; ``keep_length`` and
    ``keep_width`` the least an offcut has to measure to be kept; ``worth_area`` see ``StockBoard.worth``;
    ``over_width`` and ``over_length`` what every strip and every part is cut larger for gauging. Nothing shorter than
    ``shortest_rough`` is milled and ripped, no strip narrower than ``narrowest`` is ripped, and nothing is milled
    thinner than ``thinnest``: the maker's safe limits.
    """

    crosscut_kerf: int
    rip_kerf: int
    end_trim: int = 0
    edge_trim: int = 0
    snipe: int = 0
    grip: int = 0
    longest_rip: int = 0
    grid: int = 1
    keep_length: int = 0
    keep_width: int = 0
    worth_area: int = 1
    over_width: int = 0
    over_length: int = 0
    shortest_rough: int = 0
    narrowest: int = 0
    thinnest: int = 0


@dataclass(frozen=True, slots=True)
class CutJob:
    """Everything a plan follows from: ``parts`` wanted, ``stock`` they may come from, ``rules`` of the shop.

    ``ways`` are (wood, way): "face" rips the parts' widths from stock milled to their thickness; "edge" rips their
    thickness from stock milled to their width and turns the strips; "either" takes the cheaper, one way for all of
    the wood. A wood not named is ripped face up. ``on_edge`` of the plan tells what was chosen.
    """

    parts: tuple[Part, ...]
    stock: tuple[StockBoard, ...]
    rules: Rules
    ways: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class StripCut:
    """A strip ripped for parts ``width`` by the rough length's thickness (of a wood that is turned on edge, ``width``
    is the parts' thickness and the rough length is milled to their width); ``parts`` are (length, pieces), longest
    first, at the sizes after gauging, in units. ``pieces`` are (lengths, times): so many of the ``parts`` whose length
    they make up are cut apart into these lengths, next to one another (see ``Part.pieces``)."""

    width: int
    parts: tuple[tuple[int, int], ...]
    pieces: tuple[tuple[tuple[int, ...], int], ...] = ()


@dataclass(frozen=True, slots=True)
class RoughCut:
    """A rough length, milled to ``thickness`` and ripped into ``strips``; without strips it is kept whole.

    ``at`` is where it begins, from the end of the board the tape is hooked on. A rough length that is ``resawn`` is
    two layers, each milled to ``thickness``: ``strips`` out of the first and ``under`` out of the second, which is
    kept whole where ``under`` is empty."""

    length: int
    thickness: int
    strips: tuple[StripCut, ...]
    at: int = 0
    resawn: bool = False
    under: tuple[StripCut, ...] = ()


@dataclass(frozen=True, slots=True)
class BoardCut:
    """What becomes of the board called ``board``, from one end to the other."""

    board: str
    rough: tuple[RoughCut, ...]


@dataclass(frozen=True, slots=True)
class Offcut:
    """A piece that goes back to the rack: ``kind`` is "end" (a rough length kept whole), "edge" (beside the strips),
    "tail" (left of a strip) or "layer" (the second layer of a resawn rough length, kept whole). ``rough`` counts the
    board's rough lengths from 0. Sizes in units, credit in money, 0 for a piece that is large enough to keep and is
    credited with nothing."""

    board: str
    rough: int
    kind: str
    width: int
    length: int
    credit: int


@dataclass(frozen=True, slots=True)
class Counted:
    """What a proof counts in a plan, on ripped rough lengths (layers, where one is resawn) at least ``length`` units
    long: ``what`` is "rough", these themselves; "edges", those whose edge is worth something; "strips", their strips of
    the section ``width`` by ``thickness``; "tails", those of the strips whose tail is worth something; "milled",
    those ripped out of wood ``thickness`` thick; "resawn", rough lengths resawn into two layers ``thickness`` thick.
    The section is 0 by 0 for the first two, the width 0 for the last two.
    """

    what: str
    width: int
    thickness: int
    length: int


@dataclass(frozen=True, slots=True)
class Prices:
    """Why no plan of one wood costs less: a price for every part, and the boxes the search was cut into.

    ``way`` is the way its strips are ripped, "face" or "edge"; on edge, widths here are the parts' thicknesses and
    thicknesses their widths. ``sizes`` are (width, thickness, length) and every leaf's ``prices`` stand in their
    order, in 1/``SCALE`` of a money unit; ``shades`` the shade each asks for, left out where none does. ``kinds``
    names the boards alike, one tuple of board names each; a leaf is the plans that open of every kind at least ``low``
    and at most ``high`` boards, and have of everything ``counted`` at least ``counts_low`` and at most
    ``counts_high`` (-1 for any number); each of these has its price too, in ``count_prices``, below 0 where more of
    them are to be paid for. Between them the leaves hold every plan there is.
    """

    wood: str
    sizes: tuple[tuple[int, int, int], ...]
    kinds: tuple[tuple[str, ...], ...]
    counted: tuple[Counted, ...]
    leaves: tuple[Leaf, ...]
    shades: tuple[str, ...] = ()
    way: str = "face"


@dataclass(frozen=True, slots=True)
class Leaf:
    """One box of the search and the prices that bound what is in it; see ``Prices``."""

    low: tuple[int, ...]
    high: tuple[int, ...]
    prices: tuple[int, ...]
    counts_low: tuple[int, ...]
    counts_high: tuple[int, ...]
    count_prices: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class WoodFloor:
    """What the parts of one wood cost at the very least, in money units, and the ``prices`` that prove it: those of the
    way that may cost less and, where either way may be taken, of the ``other`` one. ``without`` names the wishes that
    were left out of the proof, so that a plan that keeps them may have to cost more: "bound"."""

    wood: str
    floor: int
    prices: Prices
    other: tuple[Prices, ...] = ()
    without: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Which board gives what. Money in units: ``cost`` is ``boards_cost`` less the ``credit`` of ``offcuts``.
    ``floors`` hold for each wood what no plan can undercut; empty for a first plan. ``on_edge`` names the woods whose
    strips are turned on edge; ``bound_to`` are (wood, bound, board): the board each lot of bound parts comes from."""

    boards: tuple[BoardCut, ...]
    offcuts: tuple[Offcut, ...]
    boards_cost: int
    credit: int
    floors: tuple[WoodFloor, ...] = field(default=())
    on_edge: tuple[str, ...] = ()
    bound_to: tuple[tuple[str, str, str], ...] = ()

    @property
    def cost(self) -> int:
        return self.boards_cost - self.credit

    @property
    def floor(self) -> int:
        return sum(one.floor for one in self.floors)
