"""The stages' door to the planner: which stage a step belongs to, in the order of the work."""

from __future__ import annotations

from planner.gluing.bench import STAGE_OF

CUT = STAGE_OF["cut"]
STAGES = tuple(dict.fromkeys(STAGE_OF.values()))


def stage_of_key(key: str) -> str:
    """The stage a step's key names ("1/row/7"), "" where it names none.

    >>> stage_of_key("2.3/flatten/1"), stage_of_key("1/elsewhere")
    ('flattened', '')
    """
    return STAGE_OF.get(key.split("/")[1], "") if "/" in key else ""
