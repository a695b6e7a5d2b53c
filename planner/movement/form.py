"""How a board moves, as plain JSON: what a record keeps and a page shows."""

from __future__ import annotations

from typing import Any

from planner.figures import Figure
from planner.movement.moving import Moving, Told

Json = dict[str, Any]


def moving_record(found: Moving) -> Json:
    """JSON-safe and exact. ``columns`` are [number, millimetres] as the rows are laid; a part there is none of is None.
    ``limits`` are the maker's, of neighbours and of the step at a seam.
    Where there is ``trouble`` nothing else is told.

    >>> moving_record(Moving(trouble="No air."))
    {'trouble': 'No air.'}
    """
    if found.trouble:
        return {"trouble": found.trouble}
    return {
        "trouble": "",
        "shop": _figure(found.shop),
        "home": _figure(found.home),
        "change": _figure(found.change),
        "room": _figure(found.room),
        "columns": [[column.column, str(column.by.mm)] for column in found.columns],
        "most": _told(found.most),
        "neighbours": _told(found.neighbours),
        "any_two": _told(found.any_two),
        "step": _told(found.step),
        "coefficients": [
            {
                "wood": line.wood,
                "printed": None if line.printed is None else str(line.printed),
                "derived": None if line.derived is None else str(line.derived),
                "used": str(line.used),
                "part": line.parts,
                "source": line.source,
            }
            for line in found.coefficients
        ],
        "limits": [str(found.most_parting.mm), str(found.most_step.mm)],
        "warnings": [{"words": w.words, "why": w.why, "mend": w.mend} for w in found.warnings],
        "advice": list(found.advice),
    }


def _figure(figure: Figure | None) -> Json | None:
    return None if figure is None else figure.as_record()


def _told(told: Told | None) -> Json | None:
    return None if told is None else {"place": told.place, "grows": told.grows, "figure": told.figure.as_record()}
