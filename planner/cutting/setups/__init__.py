"""The saw set-ups of a cut plan: what to set, in which order, what is cut at each setting and from which piece.

names      what rough lengths and strips are called
terms      the words, as frozen dataclasses
record     their JSON
"""

from planner.cutting.setups.names import layer_name, rough_name, strip_name
from planner.cutting.setups.record import from_record, to_record
from planner.cutting.setups.terms import KINDS, Caution, Cut, Setting, SetUp, SetUpError, SetUps

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
    "strip_name",
    "to_record",
]
