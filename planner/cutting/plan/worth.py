"""What fits and what it is worth: the planner's own sums, in whole units of length and money.

The checker (``planner.cutting.plan.checker``) reckons the same things its own way and shares nothing with this.
"""

from __future__ import annotations

from collections.abc import Iterable

from planner.cutting.plan.terms import BoardCut, CutPlan, Offcut, RoughCut, Rules, StockBoard, StripCut


def usable(board: StockBoard, rules: Rules) -> tuple[int, int]:
    """(width, length) in units once edges and ends are trimmed; nought or less where nothing is left."""
    return board.width - 2 * rules.edge_trim, board.length - 2 * rules.end_trim


def strip_head(rules: Rules) -> int:
    """Units lost at the front of a strip before its first part: the snipe and the cut that takes it off."""
    return rules.snipe + rules.crosscut_kerf if rules.snipe else 0


def strip_room(length: int, rules: Rules) -> int:
    """How much of a strip ``length`` units long its parts may take, each with one kerf behind it. Where nothing has
    to stay at the end, the last part needs no cut behind it, so its kerf may lie beyond the end."""
    held = max(rules.grip, rules.snipe)
    return length - strip_head(rules) - held if held else length + rules.crosscut_kerf


def slot(length: int, rules: Rules) -> int:
    """Units a part ``length`` long takes of a strip: itself, left long for gauging, and the kerf behind it."""
    return length + rules.over_length + rules.crosscut_kerf


def strip_slot(width: int, rules: Rules) -> int:
    """Units a strip for parts ``width`` wide takes of a rough length's width, with the kerf beside it."""
    return width + rules.over_width + rules.rip_kerf


def credit(width: int, length: int, board: StockBoard, rules: Rules) -> int:
    """Money units an offcut is worth: nothing where it is shorter than what is kept; rounded down for each piece."""
    if length < rules.keep_length or length <= 0 or width <= 0:
        return 0
    return width * length * board.worth // rules.worth_area


def strip_used(strip: StripCut, rules: Rules) -> int:
    """Units of a strip its parts take, each with its kerf."""
    return sum(slot(length, rules) * count for length, count in strip.parts)


def offcuts_of(cut: BoardCut, board: StockBoard, rules: Rules) -> list[Offcut]:
    """The pieces of one board that are worth keeping, in the order they come off it."""
    across, _ = usable(board, rules)
    kept: list[Offcut] = []
    for i, rough in enumerate(cut.rough):
        found = []
        if not rough.strips:
            if across >= rules.keep_width:
                found.append(("end", across, rough.length))
        else:
            beside = across - sum(strip_slot(strip.width, rules) for strip in rough.strips)
            if beside >= rules.keep_width:
                found.append(("edge", beside, rough.length))
            for strip in rough.strips:
                tail = rough.length - strip_head(rules) - strip_used(strip, rules)
                found.append(("tail", strip.width + rules.over_width, tail))
        for kind, width, length in found:
            worth = credit(width, length, board, rules)
            if worth:
                kept.append(Offcut(cut.board, i, kind, width, length, worth))
    return kept


def settle(cuts: Iterable[BoardCut], stock: dict[str, StockBoard], rules: Rules) -> CutPlan:
    """The plan these boards make, with its offcuts and its cost in money units, summed anew from the cuts."""
    boards = tuple(cuts)
    offcuts = tuple(piece for cut in boards for piece in offcuts_of(cut, stock[cut.board], rules))
    spent = sum(stock[cut.board].cost for cut in boards)
    return CutPlan(boards, offcuts, spent, sum(piece.credit for piece in offcuts))


def board_length_used(rough: Iterable[RoughCut], rules: Rules) -> int:
    """Units of a board's usable length the rough lengths take, with a kerf between each two."""
    lengths = [one.length for one in rough]
    return sum(lengths) + max(len(lengths) - 1, 0) * rules.crosscut_kerf
