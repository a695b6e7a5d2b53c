"""One kind of piece and its size at every stage, from the ripped strip to the finished board."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planner.measures import Length
from planner.shop import Shop

# In the order of the work. Ripped and gauged are sizes of the strip the piece is cut from; its length there is
# the piece's own crosscut length.
STAGES = ("ripped", "gauged", "crosscut", "dressed", "finished")
HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Stage:
    """The size a piece has when the stage is done: along the grain, across it, and thick."""

    name: str
    length: Length
    width: Length
    thickness: Length


@dataclass(frozen=True, slots=True)
class Part:
    """Pieces that are alike. Each is ``tiles`` cells of the picture long and ``deep`` rows of them wide; ``count`` are
    needed for one board.

    A strip of a panel is ``for_all`` copies together: ``count`` of them are ripped, and ``pieces`` of the finished
    boards are sliced from them. Else ``pieces`` says nothing.

    ``place_length`` by ``place_width`` is the rectangle it takes up in the blank, half of each glue line around
    it included, so that the places of all pieces fill the blank exactly.
    """

    kind: str
    wood: str
    tiles: int
    count: int
    place_length: Length
    place_width: Length
    stages: tuple[Stage, ...]
    deep: int = 1
    for_all: bool = False
    pieces: int = 0

    def stage(self, name: str) -> Stage:
        return self.stages[STAGES.index(name)]


@dataclass(frozen=True, slots=True)
class Lie:
    """How a piece lies in the blank: its place, its glued ends and edges, and what is trimmed off it at last."""

    length: Length
    width: Length
    glued_ends: int
    glued_edges: int
    end_trims: int
    edge_trims: int


def stages_of(lie: Lie, thickness: Length, shop: Shop) -> tuple[Stage, ...]:
    """The sizes of a piece at each stage.

    A glue line takes room at every joint: half of it is left off each glued face, so that a run of three is cut
    two glue lines longer than three tiles and the seams of all rows still meet.

    >>> mm = Length.of_mm
    >>> tile = Lie(mm(20), mm(20), glued_ends=2, glued_edges=2, end_trims=0, edge_trims=0)
    >>> [(s.name, s.length, s.width) for s in stages_of(tile, mm(18), Shop())][0::3]
    [('ripped', Length('19.9 mm'), Length('20.8 mm')), ('dressed', Length('19.9 mm'), Length('19.9 mm'))]
    """
    half_glue = shop.glue_line * HALF
    blank_thickness = thickness + shop.flattening
    crosscut = lie.length - half_glue * lie.glued_ends
    dressed = lie.width - half_glue * lie.glued_edges
    gauged = dressed + shop.dressing * lie.glued_edges
    ripped = gauged + shop.gauge_allowance
    return (
        Stage("ripped", crosscut, ripped, blank_thickness),
        Stage("gauged", crosscut, gauged, blank_thickness),
        Stage("crosscut", crosscut, gauged, blank_thickness),
        Stage("dressed", crosscut, dressed, blank_thickness),
        Stage(
            "finished",
            lie.length - shop.end_trim * lie.end_trims,
            lie.width - shop.edge_trim * lie.edge_trims,
            thickness,
        ),
    )
