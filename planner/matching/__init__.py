"""From the colours of a picture to the woods on hand, so that the picture can still be read in wood.

nearest      each colour by itself: the nearest wood, the nearest colour
neighbours   which colours stand beside which in the picture, and how often
scores       how much of the picture's edges, lights and shades a choice of woods keeps
search       the least of a cost that counts colours and edges together
choice       the choice itself, its alternatives, and how few woods would do
merging      near colours made one first, as the maker says
"""

from planner.matching.choice import (
    SUGGESTED_PRICE,
    Choice,
    Fewer,
    alternatives,
    choose_woods,
    fewest_woods,
    suggested,
)
from planner.matching.merging import merge_near, merged
from planner.matching.nearest import Match, Rgb, match_colours, nearest_colours
from planner.matching.scores import Scores, score

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
