"""What a card, a label or a tag says of one piece, put together on the day it is asked for and frozen: whoever makes
the paper reads that and works nothing out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any
from urllib.parse import urljoin

from planner.measures import Length, format_length, round_half_up
from shopapp.common.fields import plain_number
from shopapp.common.templatetags.shop import KG_IN_A_POUND, money
from shopapp.common.words import in_shop_words
from shopapp.listings.models import CardWords, Piece
from shopapp.listings.pieces.facts import PieceFacts, facts
from shopapp.workshop.models import Workshop

from . import planning, wording

# Raise it where the same facts would be told otherwise: what was frozen before stays as it was.
FORM = 1


# As fine as whoever buys a board measures it.
_STEPS = {"mm": Length.of_mm(1), "in": Length.of_inches("1/16")}


def size_of(told: PieceFacts, unit: str) -> str:
    if told.size is None:
        return ""
    step = _STEPS[unit]
    *sides, thick = (step * int(round_half_up(Length.from_nm(side).mm / step.mm, 0)) for side in told.size)
    shown = " × ".join(format_length(side, unit, with_unit=False) for side in sides)
    return f"{shown} × {format_length(thick, unit)}"


def weight_of(told: PieceFacts, unit: str) -> str:
    """As reckoned, in kilograms; pounds beside them where the shop writes inches."""
    if told.grams is None:
        return ""
    kilograms = Fraction(told.grams, 1000)
    pounds = f" ({plain_number(kilograms / KG_IN_A_POUND, 1)} lb)" if unit == "in" else ""
    return f"about {plain_number(kilograms, 2 if kilograms < 1 else 1)} kg{pounds}"


def care_said(piece: Piece, card: CardWords, shop: Workshop, code: str) -> dict[str, Any]:
    """What the care card of a piece says."""
    told = facts(piece)
    use = wording.of_use(told.use)
    size, weight = size_of(told, shop.unit), weight_of(told, shop.unit)
    said = {
        **_named(piece, told, code),
        "lines": [line for line in (("Size", size), ("Weight", weight), ("Made", _day(piece))) if line[1]],
        "woods": [[one.key, one.name, one.scientific] for one in told.woods],
        "finish": told.finish,
        "sheet": told.finish_sheet,
        "glue": told.adhesive,
        "uses": [["What it is for", [use.fit]], ["What it is not for", [use.unfit, *_against(told)]]],
        "parts": [["Washing", [use.washing]], ["Oil and finish", _finishing(told)]],
        "rags": _sourced(planning.oily_rags()),
        "contact": _contact(told),
        "abroad": _abroad(told),
        "after": [wording.CHANGES],
        "own": card.words,
    }
    return _in_words(said, shop)


def label_said(piece: Piece, card: CardWords, shop: Workshop, code: str) -> dict[str, Any]:
    """What stands on a label: less, and what matters most if nothing else is read."""
    told = facts(piece)
    contact = [one.name for one in told.woods if one.allergen or planning.of_contact(one.key)]
    said = {
        **_named(piece, told, code),
        "size": size_of(told, shop.unit),
        "finish": f"Finish: {told.finish}" if told.finish else "",
        "short": wording.of_use(told.use).short,
        "contact": f"Contains {_and(contact)} wood." if contact else "",
        "nut": f"The finish, {told.finish}, names a nut." if wording.names_a_nut(told.finish) else "",
        "abroad": wording.ABROAD if any(one.listed for one in told.woods) else "",
        "warnings": card.warnings,
    }
    return _in_words(said, shop)


def tag_said(piece: Piece, price: Decimal | None, currency: object, code: str) -> dict[str, Any]:
    """A price tag; without a price it has a line to write one on."""
    told = facts(piece)
    return {**_named(piece, told, code), "price": "" if price is None else money(price, currency)}


def whole(kind: str, sheet: Mapping[str, Any], pieces: Sequence[Mapping[str, Any]], **more: Any) -> dict[str, Any]:
    """The paper's whole text, ready to be frozen."""
    return {"form": FORM, "kind": kind, "sheet": dict(sheet), "pieces": list(pieces), **more}


def address_for(piece: Piece, shop_address: str, link: str = "", public: str = "") -> str:
    """Where the code of a piece leads: where the maker says, else its public page, else the shop's own page of it."""
    return link or urljoin(shop_address, public or piece.get_absolute_url())


def _named(piece: Piece, told: PieceFacts, code: str) -> dict[str, Any]:
    return {"number": piece.number, "title": piece.title, "names": _and([w.name for w in told.woods]), "code": code}


def _day(piece: Piece) -> str:
    return f"{piece.made_on.day} {piece.made_on:%B %Y}"


def _and(names: Sequence[str]) -> str:
    *before, last = names or [""]
    return f"{', '.join(before)} and {last}" if before else last


def _first_large(words: str) -> str:
    return words[:1].upper() + words[1:]


def _sourced(caution) -> dict[str, str]:
    return {"words": caution.words, "source": caution.source}


def _against(told: PieceFacts) -> list[str]:
    """Of woods that are usually advised against where food lies, by name."""
    said: dict[str, list[str]] = {}
    for one in told.woods:
        for caution in planning.where_food_lies(one.key, told.use) if told.use else ():
            said.setdefault(caution.words, []).append(one.name)
    return [f"{_first_large(_and(names))}: {words[0].lower()}{words[1:]}" for words, names in said.items()]


def _finishing(told: PieceFacts) -> list[str]:
    if not told.finish:
        return [wording.ANEW_UNKNOWN]
    sheet = f"Its data sheet: {told.finish_sheet}." if told.finish_sheet else wording.NO_SHEET
    return [f"Finished with {told.finish}. {sheet}", wording.ANEW]


def _contact(told: PieceFacts) -> list[dict[str, str]]:
    """What is known of its woods, and of a finish that names a nut, each with where it was read."""
    said: dict[tuple[str, str], list[str]] = {}
    for one in told.woods:
        for caution in planning.of_contact(one.key):
            # What follows the first sentence is for whoever works it at a machine.
            known = caution.words.partition(". ")[0].rstrip(".")
            said.setdefault((known, caution.source), []).append(one.name)
    rows = [
        {"words": f"{_first_large(_and(names))}: {known[0].lower()}{known[1:]}.", "source": source}
        for (known, source), names in said.items()
    ]
    for one in told.woods:
        if one.allergen:
            # The rest tells the maker what to say, and is said here.
            known = one.allergen.partition(": say ")[0].rstrip(".")
            rows.append({"words": f"Contains {one.name} wood. {known}.", "source": planning.source_of(one.key)})
    if wording.names_a_nut(told.finish):
        words = f"The finish, {told.finish}, names a nut: whoever has to keep away from nuts should know."
        rows.append({"words": words, "source": planning.nut_oil().source})
    return [*rows, {"words": wording.OTHERS, "source": ""}] if rows else []


def _abroad(told: PieceFacts) -> list[str]:
    listed = [one.listed for one in told.woods if one.listed]
    return [wording.ABROAD, *listed] if listed else []


def _in_words(said: Any, shop: Workshop) -> Any:
    """All sentences in the shop's own words for machines and wood; names, the code and what the owner typed as they
    are."""
    if isinstance(said, str):
        return in_shop_words(said, shop.words)
    if isinstance(said, (list, tuple)):
        return [_in_words(one, shop) for one in said]
    if isinstance(said, dict):
        kept = ("title", "names", "code", "own", "warnings", "woods", "finish", "sheet", "glue")
        return {name: value if name in kept else _in_words(value, shop) for name, value in said.items()}
    return said
