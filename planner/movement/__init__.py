"""Wood that moves: what moisture a climate gives wood, and what a change of it does to a board across its grain.

climate    the moisture wood comes to in air of a temperature and humidity
change     the change of one size
board      every column of a board between two climates, and where neighbours part
"""

from planner.movement.board import BoardMovement, ColumnMovement, Parting, SeamStep, board_movement
from planner.movement.change import Change, MovementError, change_of, size_change
from planner.movement.climate import Climate, moisture_in

__all__ = [
    "BoardMovement",
    "Change",
    "Climate",
    "ColumnMovement",
    "MovementError",
    "Parting",
    "SeamStep",
    "board_movement",
    "change_of",
    "moisture_in",
    "size_change",
]
