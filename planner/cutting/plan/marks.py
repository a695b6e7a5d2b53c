"""Which boards a part may come from, as marks: a part asks for one mark or none, a board bears some.

A shade is a mark; so is the name of parts that all come from one board, once it is settled which board that is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from planner.cutting.plan.terms import Part, StockBoard

# Name of the parts bound together -> the board they come from.
Bound = Mapping[str, str]
NONE: Bound = {}


def mark_of(part: Part, bound: Bound = NONE) -> str:
    """The mark a board has to bear for this part, "" for any board. Bound parts are bound to a board of their shade,
    so their one mark is enough."""
    if part.bound in bound:
        return f"bound {part.bound}"
    return f"shade {part.shade}" if part.shade else ""


def marks_of(board: StockBoard, parts: Iterable[Part], bound: Bound = NONE) -> tuple[str, ...]:
    """The marks of a board that some part asks for, in order."""
    borne = {f"bound {name}" for name, held in bound.items() if held == board.name}
    if board.shade:
        borne.add(f"shade {board.shade}")
    return tuple(sorted(borne & {mark_of(part, bound) for part in parts if part.count > 0}))
