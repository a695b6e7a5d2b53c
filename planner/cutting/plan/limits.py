"""What cannot be cut at all: the part, the limit, and the nearest change that would let it."""

from __future__ import annotations

from collections.abc import Callable

from planner.cutting.plan.clear import longest_clear
from planner.cutting.plan.first import Wanted, shortest_rough
from planner.cutting.plan.terms import CutJob, CutPlanError, Part, Rules, StockBoard
from planner.cutting.plan.worth import slot, strip_slot, usable

Says = Callable[[int], str]


def check_makeable(job: CutJob, says: Says = str) -> None:
    """That every part could come out of some board by itself. ``says`` puts a length of the job in words.

    Raises CutPlanError naming the first part that cannot, the limit in its way and what would mend it; ``field`` is
    "stock" or the rule at fault.
    """
    rules = job.rules
    if rules.grid < 1 or rules.crosscut_kerf < 0 or rules.rip_kerf < 0:
        raise CutPlanError("The grid is at least 1 and no kerf is less than 0.", mend="Mend the rules.", field="grid")
    boards: dict[str, list[StockBoard]] = {}
    for board in job.stock:
        if usable(board, rules)[0] > 0 and longest_clear(board, rules) > 0:
            boards.setdefault(board.wood, []).append(board)
    for part in job.parts:
        if part.count > 0:
            _check_part(part, boards.get(part.wood, []), rules, says)


def called(part: Part, says: Says) -> str:
    named = f"The {part.name} of {part.wood}" if part.name else f"A part of {part.wood}"
    return f"{named}, {says(part.width)} by {says(part.thickness)} by {says(part.length)},"


def _check_part(part: Part, boards: list[StockBoard], rules: Rules, says: Says) -> None:
    its = called(part, says)
    if min(part.width, part.thickness, part.length) <= 0:
        raise CutPlanError(f"{its} has no size.", mend="Give it one.", field="parts")
    if not boards:
        raise CutPlanError(
            f"{its} is wanted, and there is no {part.wood} in stock with anything left once it is trimmed.",
            mend=f"Buy {part.wood}, or choose another wood.",
            field="stock",
        )
    _check_section(part, its, rules, says)
    thick = [board for board in boards if board.yields >= part.thickness]
    if not thick:
        most = max(board.yields for board in boards)
        raise CutPlanError(
            f"{its} is thicker than the {says(most)} the thickest board on hand yields.",
            mend=f"Make it {says(most)} thick, or buy a board that yields {says(part.thickness)}.",
            field="stock",
        )
    wide = [b for b in thick if usable(b, rules)[0] + rules.rip_kerf >= strip_slot(part.width, rules)]
    if not wide:
        most = max(usable(board, rules)[0] for board in thick) - rules.over_width
        broad = part.width + rules.over_width + 2 * rules.edge_trim
        raise CutPlanError(
            f"{its} is wider than the {says(most)} the widest board on hand gives once its edges are trimmed.",
            mend=f"Make it {says(most)} wide, or buy a board {says(broad)} wide.",
            field="stock",
        )
    _check_length(part, its, wide, rules, says)


def _check_section(part: Part, its: str, rules: Rules, says: Says) -> None:
    ripped = part.width + rules.over_width
    if ripped < rules.narrowest:
        raise CutPlanError(
            f"{its} asks for a strip {says(ripped)} wide; nothing narrower than {says(rules.narrowest)} is ripped.",
            mend=f"Make it {says(rules.narrowest - rules.over_width)} wide, or turn its strips on edge.",
            field="narrowest",
        )
    if part.thickness < rules.thinnest:
        raise CutPlanError(
            f"{its} is thinner than {says(rules.thinnest)}, the thinnest that is milled.",
            mend=f"Make it {says(rules.thinnest)} thick.",
            field="thinnest",
        )


def _check_length(part: Part, its: str, boards: list[StockBoard], rules: Rules, says: Says) -> None:
    need = shortest_rough(slot(part.length, rules), rules)
    if rules.longest_rip and need > rules.longest_rip:
        if rules.shortest_rough > rules.longest_rip:
            raise CutPlanError(
                f"Nothing shorter than {says(rules.shortest_rough)} is milled and nothing longer than "
                f"{says(rules.longest_rip)} is ripped, so no rough length is left for any part.",
                mend="Mend one of the two limits.",
                field="shortest_rough",
            )
        raise CutPlanError(
            f"{its} asks for a rough length of {says(need)}, its grip and cuts included; no more than "
            f"{says(rules.longest_rip)} is ripped.",
            mend=f"Make it {says(need - rules.longest_rip)} shorter, or rip lengths of {says(need)} if your saw can "
            "hold them.",
            field="longest_rip",
        )
    longest = max(longest_clear(board, rules) for board in boards)
    if need <= longest:
        return
    clear = " and what is bad is left out" if any(board.bad for board in boards) else ""
    if need <= -(-rules.shortest_rough // rules.grid) * rules.grid:
        raise CutPlanError(
            f"{its} would come out of the longest board on hand, but that gives {says(longest)} once its ends are "
            f"trimmed{clear}, and nothing shorter than {says(rules.shortest_rough)} is milled.",
            mend=f"Buy a board {says(need + 2 * rules.end_trim)} long.",
            field="shortest_rough",
        )
    raise CutPlanError(
        f"{its} asks for a rough length of {says(need)}, its grip and cuts included; the longest board on hand "
        f"gives {says(longest)} once its ends are trimmed{clear}.",
        mend=f"Make it {says(need - longest)} shorter, join it from two, or buy a board "
        f"{says(need + 2 * rules.end_trim)} long.",
        field="stock",
    )


def short_of_stock(wood: str, left: Wanted, says: Says = str) -> CutPlanError:
    """The error for a wood whose boards do not give all its parts: what the best try left uncut."""
    pieces = [(count, *section, length) for section, items in left.items() for (length, _), count in items.items()]
    total = sum(one[0] for one in pieces)
    shown = ", ".join(
        f"{count} of {says(width)} by {says(thick)} by {says(length)}" for count, width, thick, length in pieces[:3]
    )
    more = f" and {len(pieces) - 3} sizes more" if len(pieces) > 3 else ""
    return CutPlanError(
        f"The {wood} in stock does not give every part: {total} pieces were left uncut ({shown}{more}).",
        mend=f"Bring more {wood} in, or make fewer.",
        field="stock",
    )
