"""Which column is which: the first line's words in plain language, in any order, units among them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

# What a column may be called, for each thing that is known of a board or of its delivery.
_CALLED = {
    "mark": ("mark", "marks", "chalk mark"),
    "wood": ("wood", "woods", "species", "timber", "lumber", "kind of wood"),
    "thickness": ("thickness", "thick", "t", "nominal thickness", "nominal", "sold as", "rough thickness"),
    "measured": ("measured", "measured thickness", "thickness as it lies", "thickness measured", "actual thickness"),
    "width": ("width", "wide", "breadth", "w"),
    "length": ("length", "long", "l"),
    "count": ("count", "boards", "boards alike", "pieces", "pcs", "quantity", "qty", "how many"),
    "price": ("price", "unit price"),
    "per": ("per", "for", "price per", "price for", "priced by"),
    "worth": ("worth", "value"),
    "mass": ("mass", "weight", "what the line weighs"),
    "grade": ("grade",),
    "surfaced": ("surfaced", "planed", "faces"),
    "cut": ("cut", "sawn"),
    "sapwood": ("sapwood", "sap", "has sapwood"),
    "shade": ("shade", "colour", "color", "tone"),
    "moisture": ("moisture", "meter", "meter reading", "reading", "moisture content", "mc"),
    "moisture_on": ("read on", "reading date", "meter read on", "moisture on", "measured on"),
    "fit_on": ("fit on", "fit to mill", "fit to mill from", "fit to mill on", "fit from", "ready on"),
    "place": ("place", "lies", "it will lie", "location", "where"),
    "set_aside": ("set aside", "aside"),
    "promised": ("promised to", "promised", "reserved for"),
    "supplier": ("bought from", "supplier", "supplier name", "from", "seller", "yard"),
    "on": ("bought on", "on", "date", "day", "delivered on"),
    "reference": ("ticket", "reference", "number of the ticket", "ticket number"),
    "carriage": ("carriage", "freight", "delivery cost"),
    "note": ("note", "notes", "remark"),
    "rule": ("counted", "they count board feet", "tally rule"),
    "thin_as_inch": ("thin as inch", "thin as an inch", "thin stock as an inch"),
    "tax": ("tax", "tax rate", "vat"),
    "tax_included": ("tax in price", "tax included", "tax held in price"),
    "gift": ("gift", "a gift"),
    "longer": ("longer", "longer than 10 m"),
    # Written out for the eye; what comes in is reckoned anew.
    "passed": ("line", "paid", "there", "line goods", "line tax", "line carriage", "line cost"),
}
NAMES = {name: field for field, names in _CALLED.items() for name in names}
LENGTHS = ("thickness", "measured", "width", "length")
MONEY = ("price", "worth", "carriage")
_LENGTH_UNITS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meters"), "m"),
    **dict.fromkeys(("in", "inch", "inches", '"', "in."), "in"),
    **dict.fromkeys(("ft", "foot", "feet", "ft."), "ft"),
    **dict.fromkeys(("quarters", "/4", "4ths"), "quarters"),
}
PER_WORDS = {
    **dict.fromkeys(("bf", "bd ft", "bdft", "fbm", "board foot", "board feet", "a board foot"), "bf"),
    **dict.fromkeys(("m3", "m³", "cbm", "cubic metre", "cubic metres", "cubic meter", "a cubic metre"), "m3"),
    **dict.fromkeys(("sqft", "sq ft", "ft2", "ft²", "sf", "square foot", "square feet", "a square foot"), "sqft"),
    **dict.fromkeys(("m", "lm", "rm", "running metre", "running meter", "metre", "meter", "a running metre"), "m"),
    **dict.fromkeys(("kg", "kilo", "kilogram", "kilogramme", "a kilogram"), "kg"),
    **dict.fromkeys(("piece", "pc", "pcs", "each", "board", "a piece", "a board"), "piece"),
}
_OTHER_UNITS = {"mass": ("kg",), "moisture": ("%",), "tax": ("%",), "passed": ("bf",)}


@dataclass(frozen=True, slots=True)
class Column:
    """What a column holds. ``unit`` is that of its bare numbers, ``currency`` and ``per`` what its head says of a
    price, ``fault`` what of the head is not understood."""

    field: str
    head: str
    place: int = 0
    unit: str = ""
    currency: str = ""
    per: str = ""
    fault: str = ""


def column_of(head: str) -> Column | None:
    """What a head means; None where it says nothing that is known here.

    >>> column_of("Width (mm)").unit, column_of("Price EUR per m3").per, column_of("colour of the sky")
    ('mm', 'm3', None)
    """
    plain = " ".join(head.replace("_", " ").split()).lower().strip(" :")
    if plain in NAMES:
        return Column(NAMES[plain], head)
    words = re.split(r"[\s,(\[/]+", plain)
    # The longest beginning that names something; what is left says in which unit.
    for count in range(len(words) - 1, 0, -1):
        beginning = re.match(r"[\s,(\[/]+".join(map(re.escape, words[:count])), plain)
        if beginning and (field := NAMES.get(beginning[0])):
            left = plain[beginning.end() :].strip(" ,()[]:").removeprefix("in ").strip(" ,()[]:")
            if column := _with_unit(Column(field, head), left):
                return column
    return None


def _with_unit(column: Column, left: str) -> Column | None:
    if not left:
        return column
    if column.field in LENGTHS:
        unit = _LENGTH_UNITS.get(left) or _LENGTH_UNITS.get(left.strip("/ "), "")
        if unit and (unit != "quarters" or column.field == "thickness"):
            return replace(column, unit=unit)
        return replace(column, fault=f"“{left}” is no unit of a length here. Write mm, cm, m, in or ft.")
    if left.strip("/ ") in _OTHER_UNITS.get(column.field, ()):
        return column
    if column.field in MONEY or column.field == "passed":
        currency, slash, per = left.partition("/")
        if not slash:
            currency, _, per = f" {left}".partition(" per ")
        currency, per = currency.strip(" )]"), per.strip(" )]")
        if per and not (column.field == "price" and per in PER_WORDS):
            return replace(column, fault=f"“{per}” is nothing a price is for here. Write bf, m3, sqft, m, kg or piece.")
        return replace(column, currency=currency, per=PER_WORDS.get(per, ""))
    if column.field in _OTHER_UNITS:
        return replace(column, fault=f"“{left}” is not its unit here. Write it in {_OTHER_UNITS[column.field][0]}.")
    return None


@dataclass(frozen=True)
class Heads:
    """Columns by what they hold; ``unread`` are heads that say nothing here, ``faults`` with the column's head."""

    columns: dict[str, Column]
    unread: tuple[str, ...]
    faults: tuple[tuple[str, str], ...]


def columns_of(heads: Sequence[str], *, money: Sequence[str]) -> Heads:
    """The columns of a table. ``money`` are the names of the shop's currency: its code and its symbol."""
    columns: dict[str, Column] = {}
    unread, faults = [], []
    for place, head in enumerate(heads):
        column = column_of(head) if head else None
        if column is None:
            unread += [head] if head else []
            continue
        if column.field == "passed":
            continue
        if column.currency and column.currency not in [name.lower() for name in money]:
            column = replace(column, fault=f"“{column.currency}” is not this shop’s money. Bring it in {money[0]}.")
        if column.fault:
            faults.append((head, column.fault))
        if column.field in columns:
            faults.append((head, f"It says the same as “{columns[column.field].head}”. Leave one of them out."))
        columns.setdefault(column.field, replace(column, place=place))
    for field in ("wood", "thickness", "width", "length"):
        if field not in columns:
            faults.append(("", f"No column is called “{field}”. Write it above the column that holds it."))
    if "price" not in columns and "worth" not in columns:
        faults.append(("", "No column is called “price”, nor “worth”. Write it above the column that holds it."))
    if "price" in columns and "worth" in columns:
        faults.append((columns["worth"].head, "There is a price beside it. Leave one of them out."))
    return Heads(columns, tuple(unread), tuple(faults))
