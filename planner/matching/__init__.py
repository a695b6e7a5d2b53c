"""From the colours of a picture to the woods on hand, so that the picture can still be read in wood.

nearest      each colour by itself: the nearest wood, the nearest colour
neighbours   which colours stand beside which in the picture, and how often
scores       how much of the picture's edges, lights and shades a choice of woods keeps
cost         what a choice costs: colours missed, and edges lost
search       the least of that cost
task         a picture, its woods and the maker's say, made ready for the search
choice       the choice itself and its alternatives; fewest: how few woods would do
merging      near colours made one first, as the maker says
melting      where the picture melts in the woods chosen
relaid       a pattern laid in another wood, held against what it was
"""

from planner.matching.choice import (
    SUGGESTED_PRICE,
    alternatives,
    choose_woods,
    suggested,
)
from planner.matching.fewest import Fewer, fewest_woods
from planner.matching.merging import merge_near, merged
from planner.matching.nearest import Match, Rgb, match_colours, nearest_colours
from planner.matching.scores import Scores, score
from planner.matching.task import Choice

__all__ = [
    "SUGGESTED_PRICE",
    "Choice",
    "Fewer",
    "Match",
    "Rgb",
    "Scores",
    "alternatives",
    "choose_woods",
    "fewest_woods",
    "match_colours",
    "merge_near",
    "merged",
    "nearest_colours",
    "score",
    "suggested",
]
