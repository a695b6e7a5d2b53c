"""What a maker says of a picture's woods: the wood of each colour, and what the rest is to be matched around."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

# In place of a wood: the colour is left to the background.
BACKGROUND = ""


@dataclass(frozen=True)
class Say:
    """``woods`` has the wood of each of the grid's colours, ``BACKGROUND`` for none. ``stays`` are colours whose wood
    is settled, ``barred`` woods not to be used this time. Colours nearer than ``within`` are made one, except the
    groups of those ``apart``. ``behind`` is the wood of border and background, ``margin`` the cells of it added."""

    woods: tuple[str, ...]
    stays: frozenset[int] = frozenset()
    barred: frozenset[str] = frozenset()
    within: int = 0
    apart: frozenset[int] = frozenset()
    behind: str = ""
    margin: int = 0

    @property
    def settled(self) -> dict[int, str | None]:
        """The colours the rest is matched around: those that stay, and those left to the background."""
        held = {i: self.woods[i] or None for i in self.stays}
        return held | {i: None for i, wood in enumerate(self.woods) if wood == BACKGROUND}


def record_of(say: Say, names: Sequence[str], joins: Sequence[int], grid_id: int | None) -> dict[str, object]:
    """What is kept with the drawing. ``names`` are the grid's colours as six digits each: by them and not by their
    place, so that a corrected grid finds again what was chosen for the colours it still has."""
    return {
        "woods": {name: say.woods[joins[i]] for i, name in enumerate(names)},
        "margin": say.margin,
        "behind": say.behind,
        "pinned": [names[i] for i in sorted(say.stays)],
        "barred": sorted(say.barred),
        "within": say.within,
        "apart": [names[i] for i in sorted(say.apart)],
        "merged": {names[i]: names[to] for i, to in enumerate(joins) if i != to},
        "grid": grid_id,
    }


def say_from(record: Mapping, names: Sequence[str], suggestion: Sequence[str], start: Say) -> tuple[Say, int]:
    """What was kept with a drawing, for the colours there are now, and how many of them it did not know. Those have
    the wood suggested. A drawing of an earlier shop kept its woods as a list in the order of the colours."""
    kept = record["woods"]
    if not isinstance(kept, Mapping):
        kept = dict(zip(names, kept, strict=False))
    place = {name: i for i, name in enumerate(names)}
    say = Say(
        woods=tuple(kept.get(name, suggestion[i]) for i, name in enumerate(names)),
        stays=frozenset(place[name] for name in record.get("pinned", ()) if name in place),
        barred=frozenset(record.get("barred", ())),
        within=record.get("within", 0),
        apart=frozenset(place[name] for name in record.get("apart", ()) if name in place),
        behind=record.get("behind") or start.behind,
        margin=record["margin"],
    )
    return say, sum(name not in kept for name in names)
