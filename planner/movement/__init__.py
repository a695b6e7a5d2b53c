"""Wood that moves: what moisture a climate gives wood, and what a change of it does to a board across its grain.

climate    the moisture wood comes to in air of a temperature and humidity
change     the change of one size
lines      what lines of cells do across the grain, and which of them part
board      every column of a board between two climates, and the step at a seam
endgrain   a field of end grain, which moves both ways
moving     a board from its shop to its home, with sums, the maker's limits, and what to do about it; form: as JSON
gluing     how far meter readings may lie apart at glue-up
"""

from planner.movement.board import BoardMovement, SeamStep, board_movement
from planner.movement.change import Change, MovementError, change_of, size_change
from planner.movement.climate import Air, Climate, moisture_in
from planner.movement.endgrain import EndGrainMovement, OneWay, end_grain_movement
from planner.movement.form import moving_record
from planner.movement.gluing import Apart, Reading, apart_at_glue_up
from planner.movement.lines import ColumnMovement, Parting
from planner.movement.moving import USUAL, CoefficientLine, Moving, Surroundings, Told, moving

__all__ = [
    "USUAL",
    "Air",
    "Apart",
    "BoardMovement",
    "Change",
    "Climate",
    "CoefficientLine",
    "ColumnMovement",
    "EndGrainMovement",
    "MovementError",
    "Moving",
    "OneWay",
    "Parting",
    "Reading",
    "SeamStep",
    "Surroundings",
    "Told",
    "apart_at_glue_up",
    "board_movement",
    "change_of",
    "end_grain_movement",
    "moisture_in",
    "moving",
    "moving_record",
    "size_change",
]
