"""Working drawings of a kept reckoning as SVG: one path a wood, marks as well as colour, sizes in the maker's unit.

places      where every piece lies in the blank
woods       woods with marks that can be read in grey, and their key
areas       where marks have room where tiles are too small for them
dimensions  dimension lines that can be measured back
laid        the pattern as it is laid on the bench, face up or down
fitting     the scale at which a board and all said of it have room
kinds       kinds of parts by what they share
parts       every kind of part with its size at each stage
seamlist    seams of a record, and what is told of them
seams       seams across the grain, and the long grain that holds them
canvas      what the drawings below are put on: one path a kind, hatches instead of colour
machines    what set-ups have in common: a scale, wood with its grain, fences, dimensions
atsaw       blade, fence or stop, spacer and the wood held, from above
atplaner    a straight edge from above, a thickness from the side
setups      a set-up: its machine, its setting, its cuts, its cautions
evenings    a timetable as evenings, what hands do in them, what is in use
timetable   evenings across; hands, jigs, clamps and what cures as bars
money       where the money goes, from the price to every line of the cost
"""

from planner.drawing.working.laid import laid_svg
from planner.drawing.working.machines import Blades
from planner.drawing.working.money import money_svg
from planner.drawing.working.parts import parts_svgs
from planner.drawing.working.seams import seams_svg
from planner.drawing.working.setups import machine_svg, setup_svg
from planner.drawing.working.timetable import timetable_svgs

__all__ = ["Blades", "laid_svg", "machine_svg", "money_svg", "parts_svgs", "seams_svg", "setup_svg", "timetable_svgs"]
