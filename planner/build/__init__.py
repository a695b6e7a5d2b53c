"""A pattern and a board's sizes become pieces of wood, each with its place and its size at every stage.

The blank, before it is cut to size (x along the rows, y from the top):

    +--------------------------------------------------+  top border: runs across, the whole blank long
    |##################################################|
    +-----------+--+--+-----+--+-----------------------+  a row: side border with the background beside it in
    |###########|  |  |     |  |#######################|  one piece, then tiles or runs, then the other side
    +-----------+--+--+-----+--+-----------------------+
    |##################################################|  bottom border
    +--------------------------------------------------+

Rows are left long by the end trim at both ends and the blank is left wide by the edge trim at its top and
bottom; both go when the blank is cut to size. Grain runs along the rows in every piece.

In deep rows equal neighbouring rows of the picture are one row of as many pitches, where the stock is wide enough.

Where the rows stand upright, the picture lies turned a quarter clockwise on the bench and everything turns with it:
what is at the left here hangs at the bottom, and the borders along the rows hang at left and right.
"""

from planner.build.board import Build, BuildCounts, Joints, Placed, build
from planner.build.detailkinds import DETAILS, DetailKind
from planner.build.details import Detail, Screw, detail_minutes, details_of, load_of
from planner.build.laying import RowOfParts
from planner.build.panels import Panel, longest_strip
from planner.build.parts import STAGES, Part, Stage
from planner.build.seams import Seam
from planner.build.spec import METHODS, USES, BoardSpec, BuildError
from planner.build.warnings import Warning_
from planner.build.words import ACROSS, ALONG, BORDERS, SIDE, along_of, kind_words, part_words, seam_place

__all__ = [
    "ACROSS",
    "ALONG",
    "BORDERS",
    "DETAILS",
    "METHODS",
    "SIDE",
    "STAGES",
    "USES",
    "BoardSpec",
    "Build",
    "BuildCounts",
    "BuildError",
    "Detail",
    "DetailKind",
    "Joints",
    "Panel",
    "Part",
    "Placed",
    "RowOfParts",
    "Screw",
    "Seam",
    "Stage",
    "Warning_",
    "along_of",
    "build",
    "detail_minutes",
    "details_of",
    "kind_words",
    "load_of",
    "longest_strip",
    "part_words",
    "seam_place",
]
