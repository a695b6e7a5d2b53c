"""Changes told in sentences, in the shop's own unit and currency, for whoever reads later what was changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from planner.measures import Length, format_length, length_as_typed, round_half_up
from shopapp.common.fields import plain_number

from .models import Workshop
from .planning import DETAILS, OPERATIONS

# Where a field's own name would say too little.
_CALLED = {
    "name": "name of the workshop",
    "unit": "unit of lengths",
    "wood_in": "what wood is counted in",
    "words": "words for machines and wood",
    "currency_code": "currency",
    "currency_symbol": "sign of the currency",
    "currency_exponent": "decimals of an amount",
    "longest_rip": "longest rough length ripped",
    "shortest_machined": "shortest length machined",
    "narrowest_strip": "narrowest strip ripped",
    "thinnest_planed": "thinnest stock planed",
    "stand_off": "stand-off",
    "hold_down": "widest bundle crosscut at once",
    "tallest_cut": "deepest cut of the saw",
    "saw_scale": "finest step of fence and stop",
    "check_trim": "trim of a bought board's ends",
    "snipe": "trim of a planed rough length's ends",
    "rough_step": "step of rough lengths",
    "resaw": "resawing of thick boards",
    "resaw_kerf": "kerf of resawing",
    "tallest_resaw": "widest board resawn",
    "shortest_kept": "shortest offcut kept",
    "narrowest_kept": "narrowest offcut kept",
    "offcut_share": "share an offcut is credited",
    "glue_line": "thickness of a glue line",
    "spoil_rate": "share of pieces spoiled",
    "least_carried": "share of a seam to be carried",
    "people": "people timetables reckon with",
    "bench_places": "glue-ups the bench holds",
    "row_clamps": "clamps of a row in its jig",
    "clamp_every": "distance of clamps along a joint",
    "widest_flattened": "widest blank flattened",
    "moisture_apart": "points of moisture apart at glue-up",
    "buying_days": "days of buying",
    "settling_days": "days of settling",
    "rest_days": "days of rest after rough milling",
    "photographs": "minutes of photographs",
    "packing": "minutes of packing",
    "carrier_days": "days of the carrier",
    "shop_celsius": "temperature of the shop in °C",
    "shop_humidity": "humidity of the shop in %",
    "shop_moisture": "moisture read in the shop in %",
    "home_celsius": "temperature at home in °C",
    "home_humidity": "humidity at home in %",
    "home_moisture": "moisture read at home in %",
    "most_step": "step at a seam that is warned of",
    "most_parting": "parting of columns that is warned of",
    "glue_g_per_m2": "glue spread in g/m²",
    "glue_loss": "share of glue lost",
    "glue_per_kg": "price of a kilogram of glue",
    "grits": "number of grits",
    "abrasive_m2_each": "area in m² a disc or sheet lasts",
    "abrasive_price_each": "price of a disc or sheet",
    "finish_l_per_m2": "finish of a coat in l/m²",
    "finish_per_l": "price of a litre of finish",
    "hour": "worth of an hour",
    "overhead_hour": "overhead of an hour",
    "packaging": "packaging of a board",
    "reserve": "share of boards lost",
    "asks": "what is asked of a sale",
    "margin": "usual margin",
    "markup": "usual markup",
    "profit": "usual sum to keep",
    "friends": "what friends are let off",
    "carrier_divisor": "cubic centimetres the carrier counts as a kilogram",
    "carrier_step": "step of the carrier's masses in kg",
    "carrier_tariff": "tariff of the carrier",
    "packed_around": "packing around a board",
    "packing_grams": "mass of the packing in g",
    "tax": "tax on sales",
    "tax_included": "tax included in the price",
    "ending": "ending of prices",
}
_MONEY = {
    "glue_per_kg", "abrasive_price_each", "finish_per_l", "hour", "overhead_hour", "packaging", "carriage_paid",
    "carriage_charged", "ending", "profit",
}  # fmt: skip


def changes_told(workshop: Workshop, changes: Mapping[str, object]) -> list[str]:
    """A sentence for each of ``changes`` that is one; ``workshop`` still stands as it was."""
    told = []
    for name, value in changes.items():
        before = getattr(workshop, name)
        if name == "times":
            told += _times_told(workshop, value)
        elif name == "details":
            told += _details_told(workshop, value)
        elif before != value:
            called = _CALLED.get(name, name.replace("_", " "))
            told.append(from_to(called, *_shown(name, before, value, workshop)))
    return told


def fees_told(
    workshop: Workshop, before: Sequence[Mapping[str, object]], after: Sequence[Mapping[str, object]]
) -> list[str]:
    """A sentence for each fee that came, went or was changed."""
    was = [(str(fee["name"]), _fee(fee, workshop)) for fee in before]
    now = [(str(fee["name"]), _fee(fee, workshop)) for fee in after]
    gone, came = [fee for fee in was if fee not in now], [fee for fee in now if fee not in was]
    told = []
    for name, text in gone:
        match = next((fee for fee in came if fee[0] == name), None)
        if match is None:
            told.append(f"The fee “{name}” ({text}) was taken away.")
        else:
            came.remove(match)
            told.append(f"The fee “{name}” changed from ({text}) to ({match[1]}).")
    return told + [f"The fee “{name}” ({text}) was added." for name, text in came]


def from_to(called: str, before: str, after: str) -> str:
    return f"{called[0].upper()}{called[1:]} changed from {before} to {after}."


def lengths_apart(before: Length, after: Length, unit: str) -> tuple[str, str]:
    """Two lengths as they are printed, or exactly where print would not tell them apart."""
    shown = format_length(before, unit), format_length(after, unit)
    if shown[0] != shown[1]:
        return shown
    exact = [length_as_typed(length, unit) for length in (before, after)]
    return tuple(text if text.endswith("mm") else f"{text} {unit}" for text in exact)


def amount(value: Decimal, workshop: Workshop) -> str:
    """An amount of money with no decimal lost."""
    decimals = max(workshop.currency_exponent, -int(Decimal(value).normalize().as_tuple().exponent))
    return f"{workshop.currency_symbol} {round_half_up(Decimal(value), decimals)}"


def _times_told(workshop: Workshop, times: object) -> Iterator[str]:
    assert isinstance(times, Mapping)
    for operation in OPERATIONS:
        before, after = (
            f"{_number(Fraction(found[operation.key]))} min a {operation.each}" if operation.key in found else ""
            for found in (workshop.times, times)
        )
        if before and after and before != after:
            yield from_to(f"“{operation.words}”", before, after)
        elif after and not before:
            yield f"“{operation.words}” is {after}, set by hand."
        elif before and not after:
            yield f"“{operation.words}” goes by the time log again, no more by {before}."


def _details_told(workshop: Workshop, details: object) -> Iterator[str]:
    assert isinstance(details, Mapping)
    for key, kind in DETAILS.items():
        was, now = workshop.details.get(key, {}), details.get(key, {})
        for part, assumed in (("minutes", kind.minutes), ("price", kind.price)):
            before, after = (
                f"{_number(Fraction(found.get(part, assumed)))} min {kind.each}"
                if part == "minutes"
                else f"{amount(Decimal(found.get(part, assumed)), workshop)} a piece"
                for found in (was, now)
            )
            if (part in was) != (part in now) or before != after:
                stands = "set by hand" if part in now else "the default again"
                yield f"“{kind.words}” changed from {before} to {after}, {stands}."


def _shown(name: str, before: object, after: object, workshop: Workshop) -> tuple[str, str]:
    if isinstance(before, Length) and isinstance(after, Length):
        return lengths_apart(before, after, workshop.unit)
    return _one(name, before, workshop), _one(name, after, workshop)


def _one(name: str, value: object, workshop: Workshop) -> str:
    choices = dict(Workshop._meta.get_field(name).flatchoices)
    if value in (None, "") and value not in choices:
        return "nothing"
    if name in _MONEY:
        return amount(Decimal(str(value)), workshop)
    if name == "carrier_tariff":
        rows = (f"up to {_number(Fraction(up_to))} kg {amount(Decimal(price), workshop)}" for up_to, price in value)
        return ", ".join(rows) or "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Fraction):
        return f"{_number(value * 100)} %"
    if isinstance(value, Decimal):
        return _number(Fraction(value))
    return str(choices.get(value, value))


def _fee(fee: Mapping[str, object], workshop: Workshop) -> str:
    parts = []
    if fee["percent"]:
        parts.append(f"{_number(Fraction(fee['percent']) * 100)} %")
    if fee["fixed"]:
        parts.append(amount(Decimal(str(fee["fixed"])), workshop))
    for limit, words in (("minimum", "at least"), ("cap", "at most")):
        if fee.get(limit) is not None:
            parts.append(f"{words} {amount(Decimal(str(fee[limit])), workshop)}")
    on = [word for word, there in (("carriage", fee["on_carriage"]), ("tax", fee["on_tax"])) if there]
    return " and ".join(parts) + (f", on {' and '.join(on)} too" if on else "")


def _number(value: Fraction) -> str:
    """Decimals where they are exact, else the fraction that was typed."""
    text = plain_number(value)
    return text if Fraction(text) == value else str(value)
