"""The cut plan: which board gives which rough lengths, strips and parts, at what cost, and what no plan undercuts.

terms      the words, as frozen dataclasses in whole units of length and money
form       their JSON
clear      what of a board's length may be used
limits     parts that cannot be made at all, and what would let them
worth      what fits and what offcuts are worth
first      a plan at once, longest first
marks      which boards a part may come from
bound      parts that all come from one board
ways       one wood, face up or on edge, and the boards bound parts come from
naming     which parts are cut apart at last
problem    one wood by kinds of parts and boards
along      rough lengths one behind the other in a clear stretch
pricing    the best cuts at given prices
master     the cuts found so far, solved together with fractions
growing    cuts that save at the prices of that
boxes      how plans are cut apart, and what of it proves the floor
rip_branching what plans are cut apart by beside their boards
losses     what a cut gives away at given prices
whole      the best plan out of given cuts in whole numbers
dive       a whole plan in one go, what is left priced anew each time
enrich     more cuts for whole plans
cuts       from numbers of cuts to boards, and back
ties       of plans that cost the same, fewer boards, then fewer settings
search     columns, whole plans and branching for one wood
planning   the whole job
floor      what no plan undercuts, proved anew without a solver
reason     the floor and the gap, each in a sentence
earning    the most a board can earn, for the floor
checker    whether a plan can be cut and costs what it says
counting   the parts, shades and bound parts of a plan, counted for the checker
"""

from planner.cutting.plan.checker import faults_of
from planner.cutting.plan.floor import FloorError, prove, prove_floor
from planner.cutting.plan.form import CutFile, CutFormError, from_json, to_json
from planner.cutting.plan.planning import first_cut_plan, plan_cuts
from planner.cutting.plan.reason import floor_reason, gap_reason
from planner.cutting.plan.terms import (
    BoardCut,
    Counted,
    CutJob,
    CutPlan,
    CutPlanError,
    Leaf,
    Offcut,
    Part,
    Prices,
    RoughCut,
    Rules,
    StockBoard,
    StripCut,
    UnsoundPlanError,
    WoodFloor,
)

__all__ = [
    "BoardCut",
    "Counted",
    "CutFile",
    "CutFormError",
    "CutJob",
    "CutPlan",
    "CutPlanError",
    "FloorError",
    "Leaf",
    "Offcut",
    "Part",
    "Prices",
    "RoughCut",
    "Rules",
    "StockBoard",
    "StripCut",
    "UnsoundPlanError",
    "WoodFloor",
    "faults_of",
    "first_cut_plan",
    "floor_reason",
    "from_json",
    "gap_reason",
    "plan_cuts",
    "prove",
    "prove_floor",
    "to_json",
]
