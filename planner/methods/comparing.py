"""Every way to build a board side by side, and which to take."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from planner.build import BoardSpec, Build
from planner.errors import PlannerError
from planner.figures import Figure, Term
from planner.hours import DEFAULT_TIMES
from planner.measures import round_half_up
from planner.methods.counting import Row
from planner.methods.effort import BreakEven, Effort, break_even
from planner.methods.panels import FACE_UP_REFUSED, Panels, field_rows
from planner.methods.remedies import Mending
from planner.methods.rows import board_of, counts_of, effort_of, lumber_of, weakest_of, work_of
from planner.methods.terms import WAYS, Made, Maker, MethodError, Remedy, Way, upright_of
from planner.methods.work import Work, figures_of, hours_of, total_of
from planner.pattern import Pattern

COPIES = (1, 3, 5, 10)


@dataclass(frozen=True, slots=True)
class Paying:
    """From how many copies ``way`` takes no longer than the one recommended, in hours; ``first`` is a figure with the
    sum where there is such a number."""

    way: Way
    pays: BreakEven
    first: Figure | None


@dataclass(frozen=True, slots=True)
class Mended:
    """A way with what mends its weakest seam; ``total`` is the wood and hours of both."""

    way: Way
    remedy: Remedy
    total: Figure


@dataclass(frozen=True, slots=True)
class Choice:
    """What is recommended. ``best`` is the least wood plus hours among the ``meeting`` ways whose weakest seam meets
    the maker's limit; where none does, the one whose weakest seam carries most. ``runner_up`` is the next,
    ``difference`` how much more it comes to. ``mended`` is a way that falls short by itself and would be enough mended,
    where that comes to less than the best of those that need no mending, or there are none."""

    best: Made | None
    runner_up: Made | None
    difference: Figure | None
    meeting: int
    mended: Mended | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """Ways in the order of WAYS, reckoned for ``copies`` boards and in short for the numbers in ``also``."""

    copies: int
    also: tuple[int, ...]
    least_carried: Fraction
    ways: tuple[Made, ...]
    choice: Choice
    paying: tuple[Paying, ...]

    def of(self, way: Way) -> Made:
        return self.ways[WAYS.index(way)]


def compare(
    pattern: Pattern, spec: BoardSpec, maker: Maker, *, also: Sequence[int] = COPIES, remedies: bool = True
) -> Comparison:
    """``spec`` says how the board hangs and how many are wanted; its own method is one of those compared.

    A way this board or shop does not allow is in the answer with the reason, so nothing is raised for it. ``remedies``
    may be left out where only the figures are wanted.
    """
    maker = replace(maker, times={**DEFAULT_TIMES, **maker.times})
    numbers = tuple(sorted({*also, spec.quantity}))
    fields: dict[str, list[Row]] = {}
    tried = [_Trial(pattern, spec, way, maker, numbers, fields) for way in WAYS]
    made = {trial.way: trial.made for trial in tried}
    if remedies:
        for trial in tried:
            made[trial.way] = trial.mended(made)
    ways = tuple(made[way] for way in WAYS)
    choice = _choose(ways, maker)
    return Comparison(spec.quantity, numbers, maker.shop.least_carried, ways, choice, _paying(ways, choice.best))


class _Trial:
    """One way, tried. ``fields`` are the rows of a picture's panels, which two ways share."""

    def __init__(
        self,
        pattern: Pattern,
        spec: BoardSpec,
        way: Way,
        maker: Maker,
        numbers: Sequence[int],
        fields: dict[str, list[Row]],
    ) -> None:
        self.pattern, self.way, self.maker, self.numbers, self.fields = pattern, way, maker, numbers, fields
        self.spec = upright_of(spec, way.along)
        self.board: Build | None = None
        self.work: Work | None = None
        try:
            self.made = self._panels() if way.method in ("panels", "slices") else self._rows()
        except PlannerError as error:
            self.made = Made(way, str(error), {}, None, False, None, {})

    def _rows(self) -> Made:
        maker = self.maker
        asked = replace(self.spec, method=self.way.method)
        board = board_of(self.pattern, asked, maker)
        if self.way.method == "deep" and all(row.deep == 1 for row in board.rows):
            raise MethodError(
                "No two neighbouring rows are alike, or the stock is too narrow for both: it would be the same as runs."
            )
        counts = counts_of(board)
        works = {copies: work_of(*lumber_of(board, copies, maker), counts) for copies in self.numbers}
        self.board, self.work = board, works[asked.quantity]
        weakest = weakest_of(board)
        return Made(
            self.way,
            "",
            figures_of(self.work, weakest, maker),
            weakest,
            weakest is None or weakest.meets(maker.shop),
            effort_of(board, self.work, maker),
            self._at(works),
        )

    def _panels(self) -> Made:
        maker, turned = self.maker, self.way.method == "panels"
        if self.way.along not in self.fields:
            self.fields[self.way.along] = field_rows(self.pattern, self.spec, maker.shop)
        panels = Panels(self.pattern, self.spec, maker, self.fields[self.way.along], turned=turned)
        # What is refused is counted once, to be seen beside the others, and never recommended.
        works = {copies: panels.work(copies) for copies in (self.numbers if turned else (self.spec.quantity,))}
        weakest = panels.weakest()
        return Made(
            self.way,
            "" if turned else FACE_UP_REFUSED,
            figures_of(works[self.spec.quantity], weakest, maker),
            weakest,
            weakest is None,
            panels.effort(),
            self._at(works),
        )

    def _at(self, works: Mapping[int, Work]) -> dict[int, tuple[Fraction, Decimal]]:
        return {copies: (hours_of(work, self.maker), total_of(work, self.maker)) for copies, work in works.items()}

    def mended(self, made: Mapping[Way, Made]) -> Made:
        """With what would mend its weakest seam, where that falls short."""
        found = made[self.way]
        if self.board is None or self.work is None or found.weakest is None or found.meets:
            return found
        other = made[Way(self.way.method, "columns" if self.way.along == "rows" else "rows")]
        mending = Mending(self.pattern, self.board, self.work, found.weakest, self.maker)
        return replace(found, remedies=mending.all(found, other))


def _choose(ways: Sequence[Made], maker: Maker) -> Choice:
    makes = sorted((made for made in ways if made.makes), key=_by_total)
    if not makes:
        return Choice(None, None, None, 0, None)
    meeting = [made for made in makes if made.meets]
    best, *others = meeting or sorted(makes, key=lambda made: (-_share(made), *_by_total(made)))
    mended = min(_mended(makes, maker), key=_total_of_mended, default=None)
    if mended is not None and meeting and _total_of_mended(mended) >= best.total:
        mended = None
    if not others or not meeting:
        return Choice(best, None, None, len(meeting), mended)
    difference = Figure(
        others[0].total - best.total,
        "money",
        "wood + hours of the next − wood + hours of this",
        terms=(
            Term(others[0].way.words, others[0].figures["total"]),
            Term(best.way.words, best.figures["total"]),
        ),
    )
    return Choice(best, others[0], difference, len(meeting), mended)


def _mended(makes: Sequence[Made], maker: Maker) -> Iterator[Mended]:
    """Every remedy that is enough. The other axis is a way of its own, and a backing's sheet has no price here."""
    for made in makes:
        for remedy in made.remedies:
            if remedy.offered and remedy.meets and remedy.kind not in ("axis", "backing"):
                assert remedy.minutes is not None and remedy.wood is not None
                minutes, wood = remedy.minutes.value, remedy.wood.value
                assert isinstance(minutes, Fraction) and isinstance(wood, Decimal)
                more = round_half_up(minutes / 60 * Fraction(maker.rates.hour), maker.rates.exponent)
                labour = Figure(more, "money", "minutes more ÷ 60 × the maker's hour")
                total = Figure(
                    made.total + wood + more,
                    "money",
                    "wood + hours of the way + what the remedy adds",
                    terms=(
                        Term(made.way.words, Figure(made.total, "money", "wood + hours")),
                        Term("Wood more", remedy.wood),
                        Term("Hours more", labour),
                    ),
                )
                yield Mended(made.way, remedy, total)


def _total_of_mended(mended: Mended) -> Decimal:
    assert isinstance(mended.total.value, Decimal)
    return mended.total.value


def _by_total(made: Made) -> tuple[Decimal, int, int]:
    """Of equals the one with fewer pieces, then the one that comes first."""
    pieces = made.figures["pieces"].value
    assert isinstance(pieces, int)
    return made.total, pieces, WAYS.index(made.way)


def _share(made: Made) -> Fraction:
    return Fraction(1) if made.weakest is None else made.weakest.share


def _paying(ways: Sequence[Made], best: Made | None) -> tuple[Paying, ...]:
    if best is None or best.effort is None:
        return ()
    return tuple(
        _pays(made, made.effort, best, best.effort)
        for made in ways
        if made.makes and made.effort is not None and made.way != best.way
    )


def _pays(made: Made, effort: Effort, best: Made, other: Effort) -> Paying:
    pays = break_even(effort, other)
    if pays.first is None:
        return Paying(made.way, pays, None)
    terms = []
    for name, one in ((made.way.words, effort), (best.way.words, other)):
        once = Term("once", Figure(one.once, "min", "getting ready, and every setting of fence and stop"))
        each = Term(
            "for each copy, in the long run", Figure(one.slope, "min", "its counts × minutes, strips as shares")
        )
        copies = Figure(one.minutes(pays.first), "min", "at so many copies, whole strips and panels", "", (once, each))
        terms.append(Term(name, copies))
    rule = (
        "the fewest copies at which it takes no longer: about (minutes more once) ÷ (minutes less a copy), rounded up, "
        "with every further strip or panel counted whole; spares left out, a tie pays"
    )
    return Paying(made.way, pays, Figure(pays.first, "boards", rule, "", tuple(terms)))
