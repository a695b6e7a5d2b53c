"""What the short pieces on the rack could become: which parts of a board they give, piece by piece, strip by strip.

A first form by counts, and a lower one: what it says can be made can be made, for every part counted has its place in
a strip of a piece, kerfs, trims and grip paid; what it says is lacking, a closer plan may still find room for.

    piece         crosscut to what the maker rips, where it is longer
    rough length  ripped side by side into strips
    strip         end trim | part | kerf | part | kerf | ... | grip | end trim

The rules are those of planner.cutting: all oversizes, trims and limits are the shop's own (common practice, no source,
where planner.shop names none), and what is shorter than the shop feeds to a machine is never counted.

**No piece more makes it worse.** Parts are gathered into bundles that depend on the parts alone, and each kind of
bundle takes whole strips in one fixed order, the shortest that hold it first; what a strip has left is not used again,
and a rough length gives up a fixed part of its width to the widest strips, however few of them are needed. With more
strips in that order every kind is done no later and leaves at least the same strips to the next, so that nothing that
had its place is pushed out. Several sizes of bundle are tried and the best of them stands; the best of answers none of
which grows worse does not either.

Bulk is whole nanometres in arrays, as the book keeps lengths; what is needed is rounded up to them and what is there
down.
"""

from planner.shorts.leftover import Leftover, leftovers
from planner.shorts.making import Cut, Lack, Made, Taken, WoodMade, make_from
from planner.shorts.ranking import Ranked, price_over_hours, ranked
from planner.shorts.shelf import Piece, Shelf, shelves
from planner.shorts.strip import strip_in
from planner.shorts.wanted import Wanted, WoodWanted, gathered, wanted_in

__all__ = [
    "Cut",
    "Lack",
    "Leftover",
    "Made",
    "Piece",
    "Ranked",
    "Shelf",
    "Taken",
    "Wanted",
    "WoodMade",
    "WoodWanted",
    "gathered",
    "leftovers",
    "make_from",
    "price_over_hours",
    "ranked",
    "shelves",
    "strip_in",
    "wanted_in",
]
