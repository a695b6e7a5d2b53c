"""A plan on the rack with boards to buy beside it: which boards are opened, and what comes out of the bought ones."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from planner.cutting.buying.kinds import Kind
from planner.cutting.buying.terms import Missing
from planner.cutting.fromshop import Cut, Piece, Wishes, check_all, job_of, length_of, named, says_in, unit_of
from planner.cutting.plan import CutFile, CutPlan, CutPlanError, first_cut_plan, plan_cuts
from planner.cutting.plan.worth import settle
from planner.measures import volume_mm3
from planner.shop import Shop

# Copies tried at the most, for what not even these give cannot be cut from such boards.
MOST = 2000


@dataclass(frozen=True, slots=True)
class Trial:
    """``bought`` boards of the ``kind`` and the pieces ``from_rack`` give all parts; ``missing`` are those that come
    out of the bought ones, ``share`` what they are of the volume of all parts. ``kept_mm3`` of the bought boards go
    to the rack as offcuts, at the thickness they are sold by."""

    kind: Kind
    bought: int
    from_rack: tuple[str, ...]
    missing: tuple[Missing, ...]
    share: Fraction
    kept_mm3: Fraction

    @property
    def nominal_mm3(self) -> Fraction:
        """What the boards to buy measure, at the thickness they are sold by."""
        return volume_mm3(self.kind.nominal, self.kind.width, self.kind.length) * self.bought

    @property
    def used_mm3(self) -> Fraction:
        return self.nominal_mm3 - self.kept_mm3


def try_kind(
    cuts: Sequence[Cut],
    rack: Sequence[Piece],
    kind: Kind,
    shop: Shop,
    names: dict[str, str],
    keep_going: Callable[[], bool],
    steps: int,
) -> Trial:
    """Cut ``cuts`` of one wood from the rack, which is used at nothing, and as few boards of the kind as come out.

    The first plan is made at once; ``steps`` of search may find one that buys less. Raises CutPlanError where not
    even many such boards give every part, or a limit of the shop's is in the way.
    """
    board = replace(kind.as_piece(), worth=Decimal(1))
    record = {"woods": [{"wood": wood, "name": name} for wood, name in names.items()]}
    free = [replace(piece, worth=Decimal(0)) for piece in rack]
    check_all(cuts, [*free, replace(board, mark="to buy 1")], shop, Wishes(), record)
    uncredited = replace(shop, offcut_share=Fraction(0))
    volume = sum(
        ((cut.count + cut.spares) * volume_mm3(cut.ripped, cut.thickness, cut.length) for cut in cuts), Fraction(0)
    )
    copies = ceil(2 * volume / volume_mm3(kind.thickness, kind.width, kind.length)) + 4
    while True:
        shelf = named(free, Wishes(bought=(board,) * min(copies, MOST)))
        file = job_of(cuts, uncredited, shelf)
        try:
            plan = first_cut_plan(file.job, says=says_in(unit_of(file.unit), shop))
            break
        except CutPlanError:
            if copies >= MOST:
                raise
            copies *= 8
    if steps and plan.cost and keep_going():
        better = plan_cuts(file.job, keep_going, steps)
        plan = min(plan, better, key=lambda one: one.cost)
    return _told(plan, file, kind, {piece.mark for piece in free})


def _told(plan: CutPlan, file: CutFile, kind: Kind, rack: set[str]) -> Trial:
    unit = unit_of(file.unit)
    names = {(part.width, part.thickness, part.length): part.name for part in file.job.parts}
    made: Counter[tuple[int, int, int]] = Counter()
    for cut in plan.boards:
        if cut.board in rack:
            continue
        for rough in cut.rough:
            for strip in (*rough.strips, *rough.under):
                for length, count in strip.parts:
                    made[strip.width, rough.thickness, length] += count
    over = file.job.rules.over_width
    missing = tuple(
        Missing(
            names[width, thickness, length],
            length_of(width + over, unit),
            length_of(thickness, unit),
            length_of(length, unit),
            count,
        )
        for (width, thickness, length), count in sorted(made.items(), key=lambda one: (-one[0][2], one[0]))
    )
    lacking = sum(width * thickness * length * count for (width, thickness, length), count in made.items())
    whole = sum(part.width * part.thickness * part.length * part.count for part in file.job.parts)
    opened = [cut.board for cut in plan.boards]
    return Trial(
        kind,
        sum(board not in rack for board in opened),
        tuple(board for board in opened if board in rack),
        missing,
        Fraction(lacking, whole),
        _kept(plan, file, rack) * unit.mm**2 * kind.nominal.mm,
    )


def _kept(plan: CutPlan, file: CutFile, rack: set[str]) -> int:
    """Square units of offcuts worth keeping, whatever they are worth, of boards that are not from the rack."""
    area = file.job.rules.worth_area
    stock = {board.name: replace(board, worth=area) for board in file.job.stock}
    offcuts = settle(plan.boards, stock, file.job.rules).offcuts
    return sum(offcut.width * offcut.length for offcut in offcuts if offcut.board not in rack)
