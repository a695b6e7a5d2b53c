"""The cover of a shop book: the board as it hangs, its sizes and woods, and what is in the book and what is not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.measures import Length

from . import planning
from .told import Told

# What the contents call each section; those without a name stand on the cover itself.
NAMES = {
    "gauged": "Sizes as gauged",
    "pieces": "Pieces to take from the rack",
    "marking": "Marking-out sheets",
    "set_ups": "Set-ups, in the order of the work",
    "parts": "Parts, and their size at every stage",
    "rows": "Rows to lay",
    "cards": "The evenings, card by card",
    "truing": "Borders, trimming and truing",
    "details": "Details, once cut to size",
    "finishing": "Sanding and finishing",
    "cautions": "In use, and before it leaves",
    "notes": "Notes and actual times",
}


@dataclass(frozen=True)
class CoverWood:
    """Of all boards, ``pieces`` with spares; ``tiles`` are 0 for a wood of the border only."""

    plank: str
    name: str
    mark: str
    tiles: int
    pieces: int
    strips: int
    to_saw: Mapping


@dataclass(frozen=True)
class Cover:
    """``said`` is what its picture shows, in words; the board hangs ``wide`` by ``high``. ``planned_with`` is the
    planner's version."""

    said: str
    wide: Length
    high: Length
    thick: str
    woods: list[CoverWood]
    planned_with: str


def cover_of(told: Told) -> Cover:
    wide, high = told.view.hanging_size
    return Cover(
        said=f"{told.plan.title}, the finished board in its woods, oiled, as it hangs",
        wide=wide,
        high=high,
        thick=told.record["finished"][2],
        woods=[
            CoverWood(
                line.plank,
                line.record["name"],
                line.record["mark"],
                line.record["tiles"],
                line.record["pieces"],
                line.record["strips"],
                line.record["gross"],
            )
            for line in told.view.woods_on_paper()
        ],
        planned_with=told.plan.planner_version,
    )


# Where the cover's picture is fetched from.
PICTURE = "picture:cover.jpg"


def pictures_of(told: Told) -> dict[str, bytes]:
    """The pictures of a book by their addresses."""
    return {PICTURE: planning.cover_picture(told.record, told.book.seen["colours"])}


def contents_of(sections: Mapping[str, object]) -> list[tuple[str, str]]:
    """The key and the name of every section that is in the book."""
    return [(key, NAMES[key]) for key, section in sections.items() if section is not None and key in NAMES]
