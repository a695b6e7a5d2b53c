"""Marking-out drawings: where a board is cut, and what every rough length gives.

letters    how wide words come out
laid       every cut as a box, in the plan's units
flags      labels tied to places, none on another
room       how much room there is, and scales
ink        fills, hatches, lines: one path a kind
wood       the cuts of a layer on the sheet
words      what is said, and read aloud
board      the whole board with its tape
layer      a rough length larger, with strips and parts
key        what the hatches mean
"""

from planner.drawing.marking.board import board_marking_svg
from planner.drawing.marking.key import key_svgs
from planner.drawing.marking.laid import BoardLaid, Box, Layer, RoughLaid, Run, StripLaid, lay_out
from planner.drawing.marking.layer import LayerDrawn, layer_marking_svgs
from planner.drawing.marking.room import PAPER, PHONE, SCREEN, Room
from planner.drawing.marking.words import Writing, names_of, run_words, widths_of

__all__ = [
    "PAPER",
    "PHONE",
    "SCREEN",
    "BoardLaid",
    "Box",
    "Layer",
    "LayerDrawn",
    "Room",
    "RoughLaid",
    "Run",
    "StripLaid",
    "Writing",
    "board_marking_svg",
    "key_svgs",
    "lay_out",
    "layer_marking_svgs",
    "names_of",
    "run_words",
    "widths_of",
]
