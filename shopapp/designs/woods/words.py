"""What the choice of woods is said in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

# Ways along the line, by how many there are to tell apart.
WAYS = {
    1: ("Matched to the picture",),
    2: ("True to the colours", "True to the shapes"),
    3: ("True to the colours", "Between the two", "True to the shapes"),
    4: ("True to the colours", "Nearer the colours", "Nearer the shapes", "True to the shapes"),
}
MOST_MELTS = 4


def counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def in_words(names: Sequence[str]) -> str:
    """Names as a sentence lists them."""
    return " and ".join(names) if len(names) < 3 else f"{', '.join(names[:-1])} and {names[-1]}"


def melting_in_words(found: Sequence, names: Mapping[str | None, str]) -> tuple[str, ...]:
    """Where the picture melts, most sides first, as sentences; ``names`` of the woods by id."""
    lines = []
    for melt in found[:MOST_MELTS]:
        sides = counted(melt.sides, "side", "sides")
        if melt.other is None:
            if names[melt.one] == names.get(None):
                lines.append(f"{names[melt.one]} lies behind the picture too: along {sides} its outline is lost.")
            else:
                lines.append(f"{names[melt.one]} is hard to tell from the {names[None]} behind it, along {sides}.")
        elif melt.one == melt.other:
            pairs = ", ".join(f"{i + 1} and {j + 1}" for i, j in melt.colours[:3])
            most = "all" if len(melt.colours) <= 3 else "most"
            lines.append(f"In {names[melt.one]} an edge of {sides} is lost, {most} of it between colours {pairs}.")
        else:
            lines.append(f"{names[melt.one]} and {names[melt.other]} touch along {sides} and are hard to tell apart.")
    return tuple(lines)
