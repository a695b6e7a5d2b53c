"""From parts to a glued-up board: what there is to do, and when around real evenings.

terms      the words, as frozen dataclasses in whole slots of time
form       their JSON
bounds     what no timetable undercuts, and what holds the work up
serial     tasks put in one after another, forwards and backwards
search     the earliest finish that can be found
checker    whether a timetable can be lived by
"""

from planner.gluing.bounds import Bound, bounds_of
from planner.gluing.checker import faults_of
from planner.gluing.form import TimetableFormError, from_json, to_json
from planner.gluing.search import find_timetable, floor_of
from planner.gluing.terms import HANDS, Link, Task, Timetable, TimetableError, Work

__all__ = [
    "HANDS",
    "Bound",
    "Link",
    "Task",
    "Timetable",
    "TimetableError",
    "TimetableFormError",
    "Work",
    "bounds_of",
    "faults_of",
    "find_timetable",
    "floor_of",
    "from_json",
    "to_json",
]
