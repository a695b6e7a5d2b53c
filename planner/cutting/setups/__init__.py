"""The saw set-ups of a cut plan: what to set, in which order, what is cut at each setting and from which piece.

names      what rough lengths and strips are called
terms      the words, as frozen dataclasses
record     their JSON
reading    a plan as named pieces with sizes
sharing    which part of the job each piece is
limits     what the shop's safe limits keep from a machine, and what to do instead
cautions   usual cautions of each kind
timing     minutes, by the workshop's standard times
scale      marks of a scale beside exact distances
order      the order in which a fence moves least
bench      what set-ups are worked out from, and how one is put together
milling    crosscut rough lengths, straighten, resaw, plane
ripping    rip and gauge strips
crosscuts  square strips and crosscut parts
stopnotes  what is said at a stop
whole      all of it
"""

from planner.cutting.setups.names import layer_name, rough_name, strip_name
from planner.cutting.setups.record import from_record, to_record
from planner.cutting.setups.terms import KINDS, Caution, Cut, Setting, SetUp, SetUpError, SetUps
from planner.cutting.setups.whole import set_ups

__all__ = [
    "KINDS",
    "Caution",
    "Cut",
    "SetUp",
    "SetUpError",
    "SetUps",
    "Setting",
    "from_record",
    "layer_name",
    "rough_name",
    "set_ups",
    "strip_name",
    "to_record",
]
