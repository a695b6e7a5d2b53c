"""What to mind, each inside the section where its step stands, and what is left for the last page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopapp.plans.wood.planning import STEPS

from .told import Told


@dataclass(frozen=True)
class Minding:
    """What to mind at one step; each of ``cautions`` has its ``words``, its ``source`` and the ``woods`` it is of."""

    heading: str
    cautions: tuple[Mapping, ...]


def minding(told: Told, *steps: str) -> tuple[Minding, ...]:
    """What to mind at these steps, in their order; nothing of a step at which there is nothing."""
    found = ((step, tuple(told.view.wood.cautions_at(step))) for step in steps)
    return tuple(Minding(STEPS[step], cautions) for step, cautions in found if cautions)


def minding_of_any_wood(told: Told, *steps: str) -> tuple[Minding, ...]:
    """The same without what is known of single woods, where that was told at an earlier step."""
    found = (Minding(one.heading, tuple(c for c in one.cautions if not c["woods"])) for one in minding(told, *steps))
    return tuple(one for one in found if one.cautions)


def last_cautions(told: Told) -> tuple[Minding, ...] | None:
    """What goes with the board once it is made."""
    return minding(told, "use", "leaving") or None
