"""The comparison's one door to the planner: a board form and the shop's rows in, every way of building it out."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

from django.core.cache import cache

from planner.methods import COPIES, MOST_COPIES, Maker, Way, compare, kept_json, to_json
from planner.pattern import Pattern
from shopapp.designs.models import PatternVersion
from shopapp.lumber import planning as lumber_planning
from shopapp.plans.models import canonical
from shopapp.plans.planning import PLANNER_VERSION, Given, given_of, inputs_of, spec_of
from shopapp.schedule.log import planning as log_planning
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop.models import Workshop

__all__ = ["MOST_COPIES", "compared", "kept"]


def compared(
    version: PatternVersion, board: Mapping, workshop: Workshop, *, briefly: bool = False, given: Given | None = None
) -> dict:
    """Every way of building the board, from the cache when nothing it depends on has changed: which of them the board
    asks for is not among that. A way that cannot be is in it with the reason. ``briefly`` is at its own number of
    boards only."""
    given = given or given_of(workshop)
    # Borders are those of the board as it hangs, whichever way its rows run.
    any_way = {**board, "method": "runs", "along": "rows"}
    inputs = canonical(inputs_of(version, any_way, given))
    numbers = () if briefly else COPIES
    key = "methods:" + hashlib.sha256(f"{PLANNER_VERSION}{numbers}{inputs}".encode()).hexdigest()
    found = cache.get(key)
    if found is None:
        maker = _maker(workshop, given.offers, given.times)
        found = to_json(compare(Pattern.from_text(version.pattern), spec_of(any_way), maker, also=numbers))
        cache.set(key, found, 600)
    return found


def kept(version: PatternVersion, board: Mapping, workshop: Workshop) -> dict:
    """What a plan keeps of the comparison at its own number of boards."""
    maker = _maker(workshop, lumber_planning.offers(), log_planning.learned(workshop))
    found = compare(Pattern.from_text(version.pattern), spec_of(board), maker, also=())
    return kept_json(found, Way(board["method"], board.get("along", "rows")))


def _maker(workshop: Workshop, offers: Mapping, times) -> Maker:
    shop = workshop_planning.shop_of(workshop)
    return Maker(shop, offers, times.exact, workshop_planning.rates_of(workshop))
