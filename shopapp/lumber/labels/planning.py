"""The door to the planner for labels: a plank on paper, with words for whoever has it read aloud."""

from __future__ import annotations

from planner.drawing import WoodLook, plank_svg
from shopapp.lumber.looks import WoodSeen
from shopapp.lumber.planning import WOODS, look_of


def plank_on_paper(seen: WoodSeen) -> str:
    """A plank of the wood with its mark; without one where the wood is not among this maker's."""
    title = f"A plank of {seen.name}"
    if seen.row:
        return plank_svg(look_of(seen.row), title=title)
    return plank_svg(WoodLook(seen.name, WOODS[seen.wood].finished_rgb, ""), mark=False, title=title)
