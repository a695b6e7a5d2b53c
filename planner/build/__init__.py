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
"""

from planner.build.board import Build, BuildCounts, Joints, Placed, RowOfParts, build
from planner.build.parts import STAGES, Part, Stage
from planner.build.seams import Seam
from planner.build.spec import METHODS, USES, BoardSpec, BuildError
from planner.build.warnings import Warning_, seam_place

__all__ = [
    "METHODS",
    "STAGES",
    "USES",
    "BoardSpec",
    "Build",
    "BuildCounts",
    "BuildError",
    "Joints",
    "Part",
    "Placed",
    "RowOfParts",
    "Seam",
    "Stage",
    "Warning_",
    "build",
    "seam_place",
]
