"""Patterns, boards and planks as SVG text: one path a wood, told apart by marks as well as colour."""

from planner.drawing.board import Piece, board_svg
from planner.drawing.columns import columns_svg
from planner.drawing.difference import difference_svg
from planner.drawing.looks import WoodLook, hex_of, luminance
from planner.drawing.marks import MARKS, mark_path
from planner.drawing.pattern import Laying, pattern_svg
from planner.drawing.plank import plank_svg
from planner.drawing.row import RowPiece, places_of, row_svg
from planner.drawing.thumbnail import thumbnail_svg

__all__ = [
    "MARKS",
    "Laying",
    "Piece",
    "RowPiece",
    "WoodLook",
    "board_svg",
    "columns_svg",
    "difference_svg",
    "hex_of",
    "luminance",
    "mark_path",
    "pattern_svg",
    "places_of",
    "plank_svg",
    "row_svg",
    "thumbnail_svg",
]
