"""What cannot be cut at all: the part, the limit, and the nearest change that would let it."""

from __future__ import annotations

from planner.cutting.plan.first import Wanted, shortest_rough
from planner.cutting.plan.terms import CutJob, CutPlanError, Part, Rules, StockBoard
from planner.cutting.plan.worth import slot, strip_slot, usable


def check_makeable(job: CutJob) -> None:
    """That every part could come out of some board by itself. Sizes in words are in the job's units.

    Raises CutPlanError naming the first part that cannot, the limit in its way and what would mend it; ``field`` is
    "stock" or the rule at fault.
    """
    rules = job.rules
    if rules.grid < 1 or rules.crosscut_kerf < 0 or rules.rip_kerf < 0:
        raise CutPlanError("The grid is at least 1 and no kerf is less than 0.", mend="Mend the rules.", field="grid")
    boards: dict[str, list[StockBoard]] = {}
    for board in job.stock:
        if min(usable(board, rules)) > 0:
            boards.setdefault(board.wood, []).append(board)
    for part in job.parts:
        if part.count > 0:
            _check_part(part, boards.get(part.wood, []), rules)


def _called(part: Part) -> str:
    named = f"The {part.name} of {part.wood}" if part.name else f"A part of {part.wood}"
    return f"{named}, {part.width} by {part.thickness} by {part.length},"


def _check_part(part: Part, boards: list[StockBoard], rules: Rules) -> None:
    called = _called(part)
    if min(part.width, part.thickness, part.length) <= 0:
        raise CutPlanError(f"{called} has no size.", mend="Give it one.", field="parts")
    if not boards:
        raise CutPlanError(
            f"{called} is wanted, and there is no {part.wood} in stock with anything left once it is trimmed.",
            mend=f"Buy {part.wood}, or choose another wood.",
            field="stock",
        )
    thick = [board for board in boards if board.yields >= part.thickness]
    if not thick:
        most = max(board.yields for board in boards)
        raise CutPlanError(
            f"{called} is thicker than the {most} the thickest board on hand yields.",
            mend=f"Make it {most} thick, or buy a board that yields {part.thickness}.",
            field="stock",
        )
    wide = [b for b in thick if usable(b, rules)[0] + rules.rip_kerf >= strip_slot(part.width, rules)]
    if not wide:
        most = max(usable(board, rules)[0] for board in thick) - rules.over_width
        raise CutPlanError(
            f"{called} is wider than the {most} the widest board on hand gives once its edges are trimmed.",
            mend=f"Make it {most} wide, or buy a board {part.width + rules.over_width + 2 * rules.edge_trim} wide.",
            field="stock",
        )
    need = shortest_rough(slot(part.length, rules), rules)
    if rules.longest_rip and need > rules.longest_rip:
        raise CutPlanError(
            f"{called} asks for a rough length of {need}, its grip and cuts included; no more than "
            f"{rules.longest_rip} is ripped.",
            mend=f"Make it {need - rules.longest_rip} shorter, or rip lengths of {need} if your saw can hold them.",
            field="longest_rip",
        )
    longest = max(usable(board, rules)[1] for board in wide)
    if need > longest:
        raise CutPlanError(
            f"{called} asks for a rough length of {need}, its grip and cuts included; the longest board on hand "
            f"gives {longest} once its ends are trimmed.",
            mend=f"Make it {need - longest} shorter, join it from two, or buy a board {need + 2 * rules.end_trim} "
            "long.",
            field="stock",
        )


def short_of_stock(wood: str, left: Wanted) -> CutPlanError:
    """The error for a wood whose boards do not give all its parts: what the best try left uncut."""
    pieces = [(count, *section, length) for section, lengths in left.items() for length, count in lengths.items()]
    total = sum(one[0] for one in pieces)
    shown = ", ".join(f"{count} of {width} by {thick} by {length}" for count, width, thick, length in pieces[:3])
    more = f" and {len(pieces) - 3} sizes more" if len(pieces) > 3 else ""
    return CutPlanError(
        f"The {wood} in stock does not give every part: {total} pieces were left uncut ({shown}{more}).",
        mend=f"Bring more {wood} in, or make fewer.",
        field="stock",
    )
