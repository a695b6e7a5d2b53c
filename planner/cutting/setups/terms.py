"""The words of saw set-ups: what is set, what is cut at it, from which piece, and what to mind.

A set-up is one setting of a machine with all the cuts made at it, whatever board or wood they come from. Lengths are
exact; names are those of ``planner.cutting.setups.names``.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.cutting.lumber import CuttingError
from planner.figures import Figure
from planner.measures import ZERO, Length

# In the order of the work, with what each is called.
KINDS = {
    "rough": "Crosscut rough lengths",
    "joint": "Straighten a face and an edge",
    "resaw": "Resaw into two layers",
    "plane": "Plane to thickness",
    "rip": "Rip strips",
    "gauge": "Gauge strips to one width",
    "square": "Square the front of every strip",
    "part": "Crosscut parts",
}


class SetUpError(CuttingError):
    """A cut plan, or the times and settings beside it, that no set-ups can be worked out from."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A usual caution, never a clearance; ``source`` says where it was read, or that it was not."""

    words: str
    source: str


@dataclass(frozen=True, slots=True)
class Setting:
    """What is set before the first cut. ``what`` is "fence" (from the blade's near side), "stop" (likewise, the
    ``spacer`` that is taken away before the cut counted in), "thickness" (of the planer) or "mark" (a pencil mark
    from the strip's front, no stop).

    ``exact`` is the distance worked out, ``set_to`` the nearest the scale shows, ``travel`` how far it is from the
    setting before it on the same machine (nought for the first)."""

    what: str
    exact: Length
    set_to: Length
    spacer: Length = ZERO
    travel: Length = ZERO

    @property
    def off(self) -> Length:
        """How much larger than exact every piece comes when the scale is believed; below nought for smaller."""
        return self.set_to - self.exact


@dataclass(frozen=True, slots=True)
class Cut:
    """``count`` pieces ``what`` of ``length`` by ``width`` by ``thickness`` off ``piece``, ``spares`` of them spare.

    ``gives`` names what comes off, where it has a name of its own. ``begins`` is where a rough length begins on the
    tape (it ends ``length`` further on, and the kerf lies beyond), None for all else."""

    what: str
    piece: str
    wood: str
    count: int
    length: Length
    width: Length
    thickness: Length
    spares: int = 0
    gives: tuple[str, ...] = ()
    begins: Length | None = None


@dataclass(frozen=True, slots=True)
class SetUp:
    """One setting and its cuts. ``kind`` is one of ``KINDS``; ``machine`` in trade words.

    ``passes`` is how often wood goes through, at most ``bundle`` strips side by side; ``held`` the least that is
    held or fed at any of its cuts (a length, in ripping a width), None where nothing is. Where ``instead`` is not
    empty the maker's limits keep these cuts from the machine, and it says what to do instead."""

    number: int
    kind: str
    machine: str
    settings: tuple[Setting, ...]
    cuts: tuple[Cut, ...]
    passes: int
    minutes: Figure
    cautions: tuple[Caution, ...] = ()
    notes: tuple[str, ...] = ()
    instead: str = ""
    bundle: int = 1
    held: Length | None = None

    @property
    def words(self) -> str:
        return KINDS[self.kind]


@dataclass(frozen=True, slots=True)
class SetUps:
    """The whole work of a cut plan in order. ``fence_travel`` and ``stop_travel`` are what fence and stop move in
    sum; ``order`` says in sentences why the set-ups stand as they do."""

    steps: tuple[SetUp, ...]
    minutes: Figure
    fence_travel: Figure
    stop_travel: Figure
    order: tuple[str, ...] = ()

    def of(self, kind: str) -> tuple[SetUp, ...]:
        """The steps of one kind, in order."""
        return tuple(step for step in self.steps if step.kind == kind)
