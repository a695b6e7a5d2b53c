"""Will it move? A board between its shop and its home, each number with its sum, and what passes the maker's limits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from planner.build import Build, Warning_
from planner.errors import PlannerError
from planner.figures import Figure, Term
from planner.measures import ZERO, Length, round_half_up
from planner.movement.board import BoardMovement, board_movement
from planner.movement.climate import Air, Climate
from planner.movement.lines import ColumnMovement, Parting, a_millimetre
from planner.movement.places import line_place, lines_place
from planner.woods import Wood, wood

_mm = Length.of_mm
EQUATION = "Wood Handbook, FPL-GTR-190, Eq. 13-2 and Table 13-5"
# "Dried down to an MC within 2 percentage points of the equilibrium moisture content of the in-use location":
# E. Wengert, Woodworking 101, 1998.
NEAR_ENOUGH = Fraction(2)
WENGERT = "E. Wengert, Woodworking 101: The Basics, 1998 (woodweb.com)"


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Where a board is made and where it will be, and the maker's own limits. The defaults are assumptions: a shop at
    18 °C and 50 %, a heated room in winter, two columns that would part by a millimetre, a step of 0.2 mm that a finger
    feels. ``apart``: the most two meter readings may differ at glue-up, in percent points (2, from memory)."""

    shop: Air = Air(Climate(Fraction(18), Fraction(50)))
    home: Air = Air(Climate(Fraction(21), Fraction(30)))
    most_parting: Length = _mm(1)
    most_step: Length = _mm("0.2")
    apart: Fraction = Fraction(2)


USUAL = Surroundings()


@dataclass(frozen=True, slots=True)
class Told:
    """A movement in words: where it is, and its figure, which is never below nought. ``grows``: in the home."""

    place: str
    figure: Figure
    grows: bool = False


@dataclass(frozen=True, slots=True)
class CoefficientLine:
    """Change of size tangential, per percent of moisture: as printed, None where no row was found; as derived from the
    shrinkage; and the larger, which is planned with. ``parts``: they differ by more than rounding."""

    wood: str
    printed: Fraction | None
    derived: Fraction | None
    used: Fraction
    source: str

    @property
    def parts(self) -> bool:
        if self.printed is None or self.derived is None:
            return False
        return abs(self.printed - self.derived) > Fraction(1, 100_000)


@dataclass(frozen=True, slots=True)
class Moving:
    """``trouble`` says in words why nothing is told; then the rest is empty. ``change`` is in percent points, from the
    shop's moisture to the home's, whichever way. ``columns`` are exact, for a drawing."""

    trouble: str = ""
    shop: Figure | None = None
    home: Figure | None = None
    change: Figure | None = None
    columns: tuple[ColumnMovement, ...] = ()
    most: Told | None = None
    neighbours: Told | None = None
    any_two: Told | None = None
    step: Told | None = None
    room: Figure | None = None
    coefficients: tuple[CoefficientLine, ...] = ()
    most_parting: Length = ZERO
    most_step: Length = ZERO
    warnings: tuple[Warning_, ...] = ()
    advice: tuple[str, ...] = ()


def moving(board: Build, around: Surroundings) -> Moving:
    """How ``board`` moves from the shop to its home. Never raises: air outside the published table, or a wood of which
    nothing is known, is told as ``trouble``."""
    try:
        first, then = around.shop.moisture, around.home.moisture
        if board.panels:
            return _both_ways(board, first, then, around)
        moved = board_movement(board, first, then)
        return _told(board, moved, around)
    except PlannerError as error:
        return Moving(trouble=str(error))


def _told(board: Build, moved: BoardMovement, around: Surroundings) -> Moving:
    sums = _Sums(board, moved)
    step = None
    if moved.step is not None:
        names = " and ".join(wood(name).name for name in (moved.step.one, moved.step.other))
        step = Told(f"where {names} meet", sums.step())
    most = moved.most
    return Moving(
        shop=around.shop.figure(),
        home=around.home.figure(),
        change=sums.change(around),
        columns=moved.columns,
        most=Told(line_place(most.column, board), sums.column(most), most.by.mm > 0),
        neighbours=_parted(moved.neighbours, board, sums),
        any_two=_parted(moved.any_two, board, sums),
        step=step,
        room=sums.room(most),
        coefficients=tuple(_line(name) for name in dict.fromkeys(sums.met)),
        most_parting=around.most_parting,
        most_step=around.most_step,
        warnings=_warnings(board, moved, around),
        advice=_advice(board, moved, around),
    )


def _both_ways(board: Build, first: Fraction, then: Fraction, around: Surroundings) -> Moving:
    """End grain moves both ways across the face and hardly in its thickness. Each way is told as of a board of the same
    cells whose rows run so; of the two what moves more, and the warnings of both. No line is drawn beside another: they
    are lines of two ways."""
    back = -1 if board.spec.along == "columns" else 1
    turned = replace(board, pattern=board.pattern.turned(back), spec=board.spec.turned())
    ways = []
    for way in (board, turned):
        ways.append(_told(way, replace(board_movement(way, first, then), step=None), around))
    more = max(ways, key=lambda one: _by(one.most))
    warnings = (warning for way in ways for warning in way.warnings)
    return replace(
        more,
        columns=(),
        neighbours=max((way.neighbours for way in ways), key=_by),
        any_two=max((way.any_two for way in ways), key=_by),
        warnings=tuple(dict.fromkeys(warnings)),
    )


def _by(told: Told | None) -> Fraction:
    if told is None:
        return Fraction(-1)
    assert isinstance(told.figure.value, Length)
    return told.figure.value.mm


def _parted(parting: Parting | None, board: Build, sums: _Sums) -> Told | None:
    if parting is None:
        return None
    return Told(lines_place(parting.one, parting.other, board), sums.parting(parting))


class _Sums:
    """Figures of one board's movement, each opening to the woods it came from."""

    def __init__(self, board: Build, moved: BoardMovement) -> None:
        self.board, self.moved = board, moved
        self.points = moved.then - moved.first
        # A column is told in several sums, a wood in every column.
        self.told: dict[int, Figure] = {}
        self.grown: dict[str, Fraction] = {}
        used = {name for name, n in zip(moved.names, map(sum, zip(*moved.counts, strict=True)), strict=True) if n}
        bordered = board.spec.end_border or board.spec.side_border
        self.met = [name for name in moved.names if name in used or (name == board.spec.border_wood and bordered)]

    def change(self, around: Surroundings) -> Figure:
        return Figure(
            abs(self.points),
            "points",
            "moisture in the home and in the shop, the one less the other",
            terms=(Term("In the shop", around.shop.figure()), Term("In the home", around.home.figure())),
        )

    def column(self, column: ColumnMovement) -> Figure:
        if column.column not in self.told:
            self.told[column.column] = Figure(
                _fine(Length(abs(column.by.mm))),
                "mm",
                "across the grain, each wood by its own coefficient, from edge to edge of the board, to the hundredth",
                EQUATION,
                tuple(self._terms(column)),
            )
        return self.told[column.column]

    def parting(self, parting: Parting) -> Figure:
        by_number = {column.column: column for column in self.moved.columns}
        terms = [
            Term(_capital(line_place(number, self.board)), self.column(by_number[number]))
            for number in (parting.one, parting.other)
        ]
        return Figure(
            _fine(parting.by),
            "mm",
            "the difference of the two, if nothing held them; the glue does",
            EQUATION,
            tuple(terms),
        )

    def step(self) -> Figure:
        step = self.moved.step
        assert step is not None
        terms = [Term("Thickness", Figure(self.board.spec.thickness, "mm", "as chosen for this board"))]
        for name in (step.one, step.other):
            terms.append(Term(wood(name).name, self._a_point(name)))
        terms.append(Term("Change of moisture", Figure(abs(self.points), "points", "between shop and home")))
        return Figure(
            _fine(step.by),
            "mm",
            "thickness × difference of the coefficients × change of moisture; tangential or radial, whichever differs "
            "more, for where the rings stand is not known",
            EQUATION,
            tuple(terms),
        )

    def room(self, most: ColumnMovement) -> Figure:
        return Figure(
            _fine(Length(abs(most.by.mm) / 2)),
            "mm",
            "half of what that moves which moves most, for a board held at its middle",
            terms=(Term(_capital(line_place(most.column, self.board)), self.column(most)),),
        )

    def _terms(self, column: ColumnMovement) -> list[Term]:
        spec, board = self.board.spec, self.board
        inside = 1 <= column.column <= board.pattern.width
        counts = dict.fromkeys(self.moved.names, 0)
        if inside:
            for name, n in zip(self.moved.names, self.moved.counts[column.column - 1], strict=True):
                counts[name] += n
        else:
            counts[spec.border_wood] = board.pattern.height
        lengths = {name: spec.pitch * n for name, n in counts.items() if n}
        if spec.end_border:
            lengths[spec.border_wood] = lengths.get(spec.border_wood, _mm(0)) + spec.end_border * 2
        return [
            Term(
                wood(name).name,
                Figure(
                    Length(length.mm * abs(self._grows(name))),
                    "mm",
                    "how far across the grain × change for each point × points",
                    terms=(
                        Term("across", Figure(length, "mm", "")),
                        Term("a point", self._a_point(name)),
                        Term("change", Figure(abs(self.points), "points", "")),
                    ),
                ),
            )
            for name, length in lengths.items()
        ]

    def _grows(self, name: str) -> Fraction:
        if name not in self.grown:
            self.grown[name] = a_millimetre(name, self.moved.first, self.moved.then, radial=False)
        return self.grown[name]

    def _a_point(self, name: str) -> Figure:
        """Change for each point in effect: outside the table's span what the equation for it comes to."""
        a_point = self._grows(name) / self.points if self.points else wood(name).c_tangential or Fraction(0)
        return Figure(
            Fraction(round_half_up(a_point, 5)),
            "per point",
            "tangential",
            dict(wood(name).sources)["movement coefficients"],
        )


def _line(name: str) -> CoefficientLine:
    found: Wood = wood(name)
    used = found.c_tangential
    assert used is not None
    return CoefficientLine(
        found.id,
        found.c_tangential_printed,
        found.c_tangential_derived,
        used,
        dict(found.sources)["movement coefficients"],
    )


def _warnings(board: Build, moved: BoardMovement, around: Surroundings) -> tuple[Warning_, ...]:
    says = board.shop.says
    found = []
    parted = moved.neighbours
    if parted is not None and parted.by > around.most_parting:
        found.append(
            Warning_(
                f"{_capital(lines_place(parted.one, parted.other, board))} would part by "
                f"{_past(parted.by, around.most_parting, says)}, more than your limit of {says(around.most_parting)}.",
                "They lie side by side, and the glue and the wood have to bear what one moves more than the other.",
                "Woods that move alike, boards sawn quartered, or wood settled nearer to the home’s moisture before "
                "it is milled bring it down.",
            )
        )
    step = moved.step
    if step is not None and step.by > around.most_step:
        found.append(
            Warning_(
                f"Where {wood(step.one).name} and {wood(step.other).name} meet, a step of "
                f"{_past(step.by, around.most_step, says)} can be felt in the home; your limit is "
                f"{says(around.most_step)}.",
                "Unlike woods change in thickness unlike.",
                "A thinner board, woods that move alike, or wood settled nearer to the home’s moisture before the last "
                "sanding bring it down.",
            )
        )
    return tuple(found)


def _advice(board: Build, moved: BoardMovement, around: Surroundings) -> tuple[str, ...]:
    """What to do about it, in sentences. What has no source says so."""
    found = []
    points = abs(moved.then - moved.first)
    if points > NEAR_ENOUGH:
        found.append(
            f"The shop keeps wood {float(points):g} points from what the home will make it; within 2 is advised "
            f"({WENGERT}). Let it settle, milled oversize, where the air is more like the home’s, before the last "
            "milling."
        )
    half = board.shop.says(_fine(Length(abs(moved.most.by.mm) / 2)))
    upright = board.spec.along == "columns"
    way, across = ("sideways", "in its width") if upright else ("up and down", "in its height")
    if board.panels:
        found.append(
            "End grain up it moves both ways, from side to side and up and down. Whatever is fixed to it is screwed "
            "tight at the middle only; a frame leaves room on all four sides, and none of long grain is glued around "
            "it (common practice, no source)."
        )
    elif board.spec.use == "wall":
        found.append(
            f"It moves {way}. Whatever is fixed across its back (battens, hangers, keys) is screwed tight at the "
            f"middle only and in slots elsewhere, with {half} to go each way; in a frame it gets as much room on each "
            "side (common practice, no source)."
        )
    else:
        found.append(
            f"It moves across its grain, {across}. Feet and frames are screwed in slots or stand apart from each "
            f"other, with {half} to go each way; nothing is glued across the grain (common practice, no source)."
        )
    found.append(
        "Finish both faces and the end grain alike, so that both take up moisture alike (common practice, no source)."
    )
    return tuple(found)


def _fine(length: Length) -> Length:
    """To the hundredth of a millimetre: no coefficient carries more."""
    return Length(Fraction(round_half_up(length.mm, 2)))


def _past(length: Length, limit: Length, says: Callable[[Length], str]) -> str:
    """A length past a limit, in words that do not read as the limit itself."""
    said = says(_fine(length))
    return f"a little more than {said}" if said == says(limit) else said


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
