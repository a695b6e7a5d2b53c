"""From the shop's own things to a cut job and back: a kept reckoning, the rack and the maker's wishes in whole units.

units      the working unit, and lengths in it
pieces     what lies on the rack, what is wished, both as stock boards
parts      what a reckoning wants cut, with copies and spares
checks     what this shop cannot cut, in its own words
job        the cut job itself, its hash, what a plan costs by the book
"""

from planner.cutting.fromshop.checks import check_all, names_of
from planner.cutting.fromshop.job import Costs, costs_of, cut_job, in_words, job_of, money_of, rules_of, same_job_hash
from planner.cutting.fromshop.parts import Cut, cuts_in
from planner.cutting.fromshop.pieces import MONEY, Piece, Wishes, layer_of, named, stock_board, yields_of
from planner.cutting.fromshop.units import length_of, says_in, unit_for, unit_of, unit_text, units_down, units_up

__all__ = [
    "MONEY",
    "Costs",
    "Cut",
    "Piece",
    "Wishes",
    "check_all",
    "costs_of",
    "cut_job",
    "cuts_in",
    "in_words",
    "job_of",
    "layer_of",
    "length_of",
    "money_of",
    "named",
    "names_of",
    "rules_of",
    "same_job_hash",
    "says_in",
    "stock_board",
    "unit_for",
    "unit_of",
    "unit_text",
    "units_down",
    "units_up",
    "yields_of",
]
