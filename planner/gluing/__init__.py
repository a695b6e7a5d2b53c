"""From parts to a glued-up board: what there is to do, and when around real evenings.

terms      the words, as frozen dataclasses in whole slots of time
form       their JSON
bounds     what no timetable undercuts, and what holds the work up
serial     tasks put in one after another, forwards and backwards (bundles, redundant: what it need not ask twice)
annealing  orders disturbed, the better ones kept
search     the earliest finish that can be found
fewest     the fewest sessions
duedate    by a date, begun as late as can be
again      what is left, in the order it stood in
advice     whether one more jig or a second person pays
checker    whether a timetable can be lived by

materials  what data sheets and the bench say: adhesive, finish, clamps, jigs
glueboard  a kept reckoning as rows of pieces with their joints
layout, loading, tools    how a board comes together, what is glued at once, which jigs and clamps serve
shares, concerns           how minutes fall on the stages; which cautions belong to which step
bench, wood, panels, glueups, finishing, work    the stages of the making as tasks, each with its step (``steps``)
left       what is left once steps are ticked
tidy       rows in the order they are counted, where nothing else has to move
cards      one card a session of a timetable
clashes    timetables made apart that want one thing at once
several    boards with days of their own by the rules, and what each of them waits for
"""

from planner.gluing.advice import Advice, OneMore, advice
from planner.gluing.again import find_again
from planner.gluing.bounds import Bound, bounds_of
from planner.gluing.cards import CardLine, Ending, SessionCard, cards_of
from planner.gluing.checker import faults_of
from planner.gluing.clashes import Clash, InUse, clashes, kinds_of
from planner.gluing.duedate import ByDate, by_date, start_of
from planner.gluing.fewest import fewest_possible, fewest_sessions, sessions_of
from planner.gluing.form import TimetableFormError, from_json, to_json
from planner.gluing.glueboard import GlueBoard, GlueRow, glue_board_of
from planner.gluing.search import find_timetable, floor_of
from planner.gluing.several import HeldUp, Several, by_their_days, faults_of_several, held_up, one_load_more, only
from planner.gluing.steps import GlueWork, Step
from planner.gluing.terms import HANDS, Link, Task, Timetable, TimetableError, Work
from planner.gluing.tidy import in_order
from planner.gluing.work import glue_work

__all__ = [
    "HANDS",
    "Advice",
    "Bound",
    "ByDate",
    "CardLine",
    "Clash",
    "Ending",
    "GlueBoard",
    "GlueRow",
    "GlueWork",
    "HeldUp",
    "InUse",
    "Link",
    "OneMore",
    "SessionCard",
    "Several",
    "Step",
    "Task",
    "Timetable",
    "TimetableError",
    "TimetableFormError",
    "Work",
    "advice",
    "bounds_of",
    "by_date",
    "by_their_days",
    "cards_of",
    "clashes",
    "faults_of",
    "faults_of_several",
    "fewest_possible",
    "fewest_sessions",
    "find_again",
    "find_timetable",
    "floor_of",
    "from_json",
    "glue_board_of",
    "glue_work",
    "held_up",
    "in_order",
    "kinds_of",
    "one_load_more",
    "only",
    "sessions_of",
    "start_of",
    "to_json",
]
