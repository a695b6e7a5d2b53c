"""The plans' one door to the planner: a board form and the shop's rows in, a reckoning's record out."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from django.core.cache import cache
from django.db.models import prefetch_related_objects

from planner.asking import Selling
from planner.build import BORDERS, DETAILS, BoardSpec, DetailKind, along_of, kind_words, part_words, seam_place
from planner.drawing import Laying, Piece, WoodLook, board_svg, luminance, pattern_svg, plank_svg
from planner.drawing.working.places import laid_of
from planner.errors import PlannerError
from planner.hours import Times
from planner.measures import Length
from planner.pattern import Pattern
from planner.pricing import Rates, rates_at_average
from planner.reckoning import Reckoning, WoodOffer, reckon
from planner.record import PLANNER_VERSION, hanging_size, to_record
from shopapp.designs.models import PatternVersion
from shopapp.lumber import planning as lumber_planning
from shopapp.lumber.supplies import planning as supplies
from shopapp.schedule.log import planning as log_planning
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop.models import Workshop

from .models import Plan, canonical

__all__ = [
    "BORDERS",
    "DETAILS",
    "PLANNER_VERSION",
    "DetailKind",
    "Given",
    "along_of",
    "board_drawing",
    "given_of",
    "hanging_size",
    "inputs_of",
    "kind_words",
    "part_words",
    "pattern_drawing",
    "plank",
    "reckon_board",
    "reckoned",
    "seam_place",
    "selling_of",
    "spec_of",
]


@dataclass(frozen=True)
class Given:
    """What boards are reckoned with, whichever board it is: the shop, the woods on hand, the maker's times, and the
    rates with what stands on the shelf at its average."""

    workshop: Workshop
    offers: Mapping[str, WoodOffer]
    times: Times
    rates: Rates


def given_of(workshop: Workshop) -> Given:
    """A fixed number of queries, after which any number of boards is reckoned without another."""
    if workshop.edit_version:
        prefetch_related_objects([workshop], "fees")
    rates = rates_at_average(workshop_planning.rates_of(workshop), supplies.shelf())
    return Given(workshop, lumber_planning.offers(), log_planning.learned(workshop), rates)


def inputs_of(version: PatternVersion, board: Mapping, given: Given) -> dict:
    """Everything a reckoning depends on, as JSON: what is kept beside the result, and what the cache is keyed by."""
    workshop, offers, times = given.workshop, given.offers, given.times
    wanted = {*Pattern.from_text(version.pattern).woods, board["border_wood"]}
    selling = selling_of(board, workshop)
    return {
        "pattern": version.pattern,
        "board": {name: _plain(value) for name, value in board.items()},
        "woods": {name: _plain(offer) for name, offer in offers.items() if name in wanted},
        "shop": _plain(workshop_planning.shop_of(workshop)),
        "times": _plain(times.exact),
        "sure": log_planning.as_inputs(times),
        "rates": _plain(given.rates),
        "terms": _plain(selling.terms),
        "asked": _plain(selling.target),
        # Left out while carriage is a sum, which stands among the terms.
        **({"carrier": _plain(selling.carrier), "packing": _plain(selling.packing)} if selling.carrier else {}),
        "around": _plain(workshop_planning.surroundings_of(workshop)),
        "currency": _currency(workshop),
    }


def _currency(workshop: Workshop) -> dict:
    """What the amounts are in: kept with them, for a shop may change its currency later."""
    return {"symbol": workshop.currency_symbol, "exponent": workshop.currency_exponent}


def reckon_board(
    version: PatternVersion, board: Mapping, workshop: Workshop, given: Given | None = None
) -> tuple[dict, dict]:
    """The inputs and the record of one reckoning, from the cache when nothing it depends on has changed. Whoever
    reckons several boards gives what all of them are reckoned with.

    Raises PlannerError naming the field at fault.
    """
    given = given or given_of(workshop)
    inputs = inputs_of(version, board, given)
    key = "reckoning:" + hashlib.sha256(f"{PLANNER_VERSION}{canonical(inputs)}".encode()).hexdigest()
    record = cache.get(key)
    if record is None:
        record = {**to_record(reckoned(version, board, given)), "currency": _currency(workshop)}
        cache.set(key, record, 600)
    return inputs, record


def selling_of(board: Mapping, workshop: Workshop) -> Selling:
    """What is asked for the board, and how it is sold and sent. A board of before one could choose asks a margin."""
    target = workshop_planning.target_of(board.get("asks", "margin"), board["margin"])
    margin = target.amount if target.kind == "margin" else Fraction(0)
    carrier = workshop_planning.carrier_of(workshop)
    packing = workshop_planning.packing_of(workshop) if carrier else None
    return Selling(workshop_planning.terms_of(workshop, margin), target, carrier, packing)


def spec_of(board: Mapping) -> BoardSpec:
    """The board as the planner takes it. A form's borders are those of the board as it hangs, whichever way its rows
    run; so is an old board's, whose rows run from side to side."""
    spec = BoardSpec(
        use=board["use"],
        pitch=board["pitch"],
        thickness=board["thickness"],
        side_border=board["side_border"],
        end_border=board["end_border"],
        method=board["method"],
        quantity=board["quantity"],
        border_wood=board["border_wood"],
        details=tuple(board.get("details", ())),
    )
    return spec.turned() if board.get("along", "rows") == "columns" else spec


# A border's field of the planner is the form's other one where rows stand upright.
_OTHER_FIELD = {"side_border": "end_border", "end_border": "side_border"}


def reckoned(version: PatternVersion, board: Mapping, given: Given) -> Reckoning:
    """One board from beginning to end, from no cache. Raises PlannerError naming the field at fault."""
    spec = spec_of(board)
    try:
        return reckon(
            Pattern.from_text(version.pattern),
            spec,
            workshop_planning.shop_of(given.workshop),
            given.offers,
            given.times,
            given.rates,
            selling_of(board, given.workshop),
            workshop_planning.surroundings_of(given.workshop),
        )
    except PlannerError as error:
        if spec.along == "columns":
            error.field = _OTHER_FIELD.get(error.field, error.field)
        raise


def _plain(value: object) -> object:
    """A frozen planner value as JSON: dataclasses as dicts, exact numbers as text."""
    if isinstance(value, Length):
        return str(value.mm)
    if isinstance(value, Mapping):
        return {str(k): _plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(v) for v in value]
    if hasattr(value, "__dataclass_fields__"):
        return {name: _plain(getattr(value, name)) for name in value.__dataclass_fields__}
    if value is None or isinstance(value, (str, int, bool)):
        return value
    return str(value)


# --- drawings from a record ---------------------------------------------------------------------------------


def looks_of(record: dict) -> dict[str, WoodLook]:
    return {w["wood"]: WoodLook(w["name"], tuple(w["rgb"]), w["mark"]) for w in record["woods"]}


def board_drawing(record: dict, title: str) -> str:
    """The finished board as it hangs, its pieces as the record says they are laid."""
    laid = laid_of(record)
    (length, height), (ends, edges) = map(float, laid.finished), map(float, laid.trim)
    # Moved so that the finished board begins at (0, 0); what is trimmed lies outside.
    pieces = [Piece(p.x - ends, p.y - edges, p.long, p.wide, p.wood) for p in laid.pieces]
    if along_of(record) == "columns":
        # Turned back from the bench: the left end of a row hangs at the bottom, the top row at the left.
        pieces = [Piece(p.y, length - p.x - p.length, p.width, p.length, p.wood) for p in pieces]
        length, height = height, length
    return board_svg(pieces, length, height, looks_of(record), title)


def pattern_drawing(record: dict, title: str) -> str:
    """The picture as it hangs, with the rows as they are laid in it."""
    # A border's own slices have none of the picture in them.
    deep = tuple(many for row in record["laid"] if (many := row.get("deep", 1)))
    laying = Laying(along_of(record) == "columns", deep)
    return pattern_svg(Pattern.from_text(record["pattern"]), looks_of(record), title=title, laying=laying)


def plank(record: dict, wood: str, *, spoken: bool = False) -> str:
    look = looks_of(record)[wood]
    return plank_svg(look, title=f"mark: {look.mark}" if spoken else "")


def whole_minutes(hours: str) -> int:
    return round(Fraction(hours) * 60)


def board_of_plan(plan: Plan) -> dict[str, object]:
    """The board a kept plan was asked to be, as a form would give it."""
    asked = json.loads(plan.inputs)["board"]
    sizes = {name: Length.of_mm(asked[name]) for name in ("pitch", "thickness", "side_border", "end_border")}
    details = tuple(asked.get("details", ()))
    return {
        "along": "rows",
        "asks": "margin",
        **asked,
        **sizes,
        "details": details,
        "margin": Fraction(asked["margin"]),
    }


def usually_asked(workshop: Workshop) -> dict[str, object]:
    """What a board asks unless it asks another, as its form has it: in what it is counted, and how much."""
    target = workshop_planning.usual_target(workshop)
    return {"asks": target.kind, "margin": target.amount}


def border_for(version: PatternVersion) -> str:
    """The wood its woods were chosen before, while that is on hand; else the lightest on hand that the pattern does not
    use, else the lightest. Empty without any."""
    on_hand = lumber_planning.offers()
    if version.choices.get("behind") in on_hand:
        return version.choices["behind"]
    used = set(Pattern.from_text(version.pattern).woods)
    by_light = sorted(on_hand.values(), key=lambda offer: (offer.wood in used, -luminance(offer.rgb)))
    return by_light[0].wood if by_light else ""
