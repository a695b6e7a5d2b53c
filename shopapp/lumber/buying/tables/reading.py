"""A table read into deliveries: every line, what is asked about it, and every fault by its line and column."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from planner.errors import PlannerError
from shopapp.lumber.buying.sense import ASKED_BEYOND, day_amiss, is_odd_reading, no_delivery_day
from shopapp.lumber.models import Lot
from shopapp.lumber.stock.buying import MOST_BOARDS, MOST_LINES, BoughtLine

from . import cells
from .heads import LENGTHS, MONEY, Column, column_of, columns_of
from .sheet import Sheet, sheet_of

MOST_FAULTS = 60
_NUMBERS = (*LENGTHS, *MONEY, "mass", "moisture")
_NEEDED = ("wood", "thickness", "width", "length")
# What is one of a whole delivery, whichever of its lines says it.
OF_DELIVERY = ("carriage", "note", "rule", "thin_as_inch", "tax", "tax_included")


@dataclass(frozen=True)
class Fault:
    """What cannot be read: the line as a spreadsheet counts (nought for the whole), the column as it is headed."""

    line: int
    column: str
    words: str

    def __str__(self) -> str:
        where = [f"Line {self.line}"] * bool(self.line) + [f"“{self.column}”"] * bool(self.column)
        return f"{', '.join(where)}: {self.words}" if where else self.words


@dataclass(frozen=True)
class Reader:
    """What cells are read with. ``woods`` are ids by every name they may be written with, in small letters."""

    woods: Mapping[str, str]
    today: date
    unit: str
    per: str
    money: tuple[str, ...]
    exponent: int
    # Whether the table's decimals have commas, so that a full stop may mark thousands.
    comma_decimals: bool = False


@dataclass(frozen=True)
class Row:
    """A line as it was read."""

    line: int
    bought: BoughtLine
    supplier: str = ""
    on: date | None = None
    reference: str = ""
    said: Mapping[str, object] = field(default_factory=dict)


@dataclass
class TableRead:
    """``rows`` that could be read; ``asked`` the lines a question is about, by ``gift``, ``longer``, ``reading``;
    ``opening`` where the lines say what pieces are worth rather than what was paid."""

    rows: list[Row] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    asked: dict[str, list[int]] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    opening: bool = False

    def ask(self, question: str, line: int) -> None:
        self.asked.setdefault(question, []).append(line)


def read_table(text: str, reader: Reader) -> TableRead:
    """Read a whole table. Raises TableError where it is none at all; what is wrong with a line is in ``faults``."""
    sheet = sheet_of(text, lambda head: column_of(head) is not None, MOST_LINES)
    heads = columns_of(sheet.heads, money=reader.money)
    read = TableRead(opening="worth" in heads.columns)
    read.faults += [Fault(sheet.heads_line, head, words) for head, words in heads.faults]
    if len(heads.columns) < 3:
        read.faults = [Fault(sheet.heads_line, "", _no_heads(sheet))]
        return read
    if heads.unread:
        read.remarks.append(f"Not read, for nothing here is called so: {', '.join(heads.unread[:12])}.")
    if not sheet.rows and not read.faults:
        read.faults.append(Fault(0, "", "There is no line below the heads. Bring at least one."))
    reader = replace(reader, comma_decimals=_has_comma_decimals(sheet, heads.columns))
    for line, row in sheet.rows:
        if len(read.faults) >= MOST_FAULTS:
            break
        _read_row(line, row, heads.columns, len(sheet.heads), reader, read)
    _look_at_all(read)
    return read


def _has_comma_decimals(sheet: Sheet, columns: Mapping[str, Column]) -> bool:
    """Spreadsheets part cells by semicolons where commas are for decimals; elsewhere a single such number tells."""
    places = [columns[name].place for name in _NUMBERS if name in columns]
    return sheet.separator == ";" or any(
        cells.has_comma_decimals(row[place]) for _, row in sheet.rows for place in places if place < len(row)
    )


def _no_heads(sheet: Sheet) -> str:
    return (
        f"The first line should name the columns, and says “{', '.join(sheet.heads)[:80]}”. "
        "Write wood, thickness, width, length, price above them."
    )


def _read_row(
    line: int, row: list[str], columns: Mapping[str, Column], wide: int, reader: Reader, read: TableRead
) -> None:
    """One line into a Row, or its faults."""
    if len(row) > wide and any(cell.strip() for cell in row[wide:]):
        words = f"It has {len(row)} cells, and there are {wide} heads. A decimal comma where commas part the cells?"
        read.faults.append(Fault(line, "", words))
        return
    needed = [*_NEEDED, "worth" if read.opening else "price"]
    if any(name in columns and columns[name].place >= len(row) for name in needed):
        read.faults.append(Fault(line, "", f"It ends after {len(row)} of {wide} columns. Fill in the rest of it."))
        return
    found, faults = _cells_of(line, row, columns, reader)
    if faults or any(name not in found for name in needed):
        missing = [name for name in needed if name in columns and name not in found]
        named = {fault.column for fault in faults}
        read.faults += faults + [
            Fault(line, columns[name].head, "Nothing is written here.")
            for name in missing
            if columns[name].head not in named
        ]
        return
    _ask(line, found, columns, reader, read)
    for name, words in day_amiss(found.get("moisture"), found.get("moisture_on"), found.get("fit_on"), reader.today):
        read.faults.append(Fault(line, columns[name].head, words))
    read.rows.append(_row(line, found, _per(found, columns, reader, read.opening), read.opening))


def _cells_of(
    line: int, row: list[str], columns: Mapping[str, Column], reader: Reader
) -> tuple[dict[str, object], list[Fault]]:
    """Every filled cell's value, and what cannot be read."""
    found: dict[str, object] = {}
    faults = []
    for name, column in columns.items():
        cell = row[column.place] if column.place < len(row) else ""
        if not cell.strip() or column.fault:
            continue
        try:
            text = cells.bare_text(cell)
            if text and reader.comma_decimals and name in _NUMBERS:
                text = cells.told_apart(text)
            if text:
                found[name] = _READ[name](text, column, reader)
        except PlannerError as error:
            faults.append(Fault(line, column.head, str(error)))
    return found, faults


Read = Callable[[str, Column, Reader], object]
_READ: dict[str, Read] = {
    "mark": lambda text, column, reader: cells.mark(text),
    "wood": lambda text, column, reader: _wood(text, reader),
    "thickness": lambda text, column, reader: cells.thickness(text, column.unit or reader.unit),
    **dict.fromkeys(LENGTHS[1:], lambda text, column, reader: cells.length(text, column.unit or reader.unit)),
    "count": lambda text, column, reader: cells.count(text, MOST_BOARDS),
    "price": lambda text, column, reader: cells.money(text, reader.money, 4),
    **dict.fromkeys(
        ("worth", "carriage"), lambda text, column, reader: cells.money(text, reader.money, reader.exponent)
    ),
    "per": lambda text, column, reader: cells.per(text),
    "mass": lambda text, column, reader: cells.mass(text),
    "moisture": lambda text, column, reader: cells.moisture(text),
    "cut": lambda text, column, reader: cells.cut(text),
    "rule": lambda text, column, reader: cells.rule(text),
    "tax": lambda text, column, reader: cells.tax(text),
    "on": lambda text, column, reader: _delivery_day(text, reader),
    **dict.fromkeys(("moisture_on", "fit_on"), lambda text, column, reader: cells.day(text)),
    **dict.fromkeys(
        ("surfaced", "sapwood", "thin_as_inch", "tax_included", "gift", "longer"),
        lambda text, column, reader: cells.yes(text),
    ),
    **dict.fromkeys(("grade", "shade"), lambda text, column, reader: cells.words(text, 40)),
    **dict.fromkeys(("place", "reference"), lambda text, column, reader: cells.words(text, 60)),
    **dict.fromkeys(("set_aside", "promised"), lambda text, column, reader: cells.words(text, 120)),
    "supplier": lambda text, column, reader: cells.words(text, 80),
    "note": lambda text, column, reader: cells.words(text, 200),
}


def _wood(text: str, reader: Reader) -> str:
    plain = " ".join(text.lower().split())
    if found := reader.woods.get(plain):
        return found
    near = difflib.get_close_matches(plain, reader.woods, n=1, cutoff=0.5)
    mend = f"Did you mean {near[0]}?" if near else "Write the name of one of your woods."
    raise PlannerError(f"“{text[:40]}” is not among the woods here.", mend=mend)


def _delivery_day(text: str, reader: Reader) -> date:
    on = cells.day(text)
    if words := no_delivery_day(on, reader.today):
        raise PlannerError(words, mend="")
    return on


def _ask(line: int, found: dict[str, object], columns: Mapping[str, Column], reader: Reader, read: TableRead) -> None:
    """What may be right and is likelier a slip."""
    price = found.get("worth" if read.opening else "price")
    if not price and not found.get("gift"):
        read.ask("gift", line)
    if found["length"] > ASKED_BEYOND and not found.get("longer"):
        read.ask("longer", line)
    if (moisture := found.get("moisture")) is not None and is_odd_reading(moisture):
        read.ask("reading", line)
    if _per(found, columns, reader, read.opening) == Lot.Per.KILOGRAM and not found.get("mass"):
        read.faults.append(Fault(line, columns["price"].head, "A price by the kilogram needs the mass. Add a column."))
    alone = [name for name in ("mark", "worth") if name in found]
    if alone and found.get("count", 1) != 1:
        words = f"A {alone[0]} is of one board, and there are {found['count']}. Give each a line of its own."
        read.faults.append(Fault(line, columns["count"].head, words))


def _per(found: Mapping[str, object], columns: Mapping[str, Column], reader: Reader, opening: bool) -> str:
    if opening:
        return Lot.Per.PIECE
    return str(found.get("per") or columns["price"].per or reader.per)


def _row(line: int, found: dict[str, object], per: str, opening: bool) -> Row:
    bought = BoughtLine(
        wood=str(found["wood"]),
        thickness=found.get("measured") or found["thickness"],
        nominal_thickness=found["thickness"],
        width=found["width"],
        length=found["length"],
        count=found.get("count", 1),
        price=found["worth"] if opening else found["price"],
        per=per,
        mass_kg=found.get("mass"),
        place=found.get("place", ""),
        facts={
            "grade": found.get("grade", ""),
            "surfaced": found.get("surfaced", False),
            "cut": found.get("cut", ""),
            "sapwood": found.get("sapwood", False),
            "shade": found.get("shade", ""),
            **{name: found.get(name) for name in ("moisture", "moisture_on", "fit_on")},
        },
        mark=found.get("mark", ""),
        set_aside=found.get("set_aside", ""),
        place_in_file=line,
    )
    said = {name: found[name] for name in (*OF_DELIVERY, "promised") if name in found}
    return Row(line, bought, found.get("supplier", ""), found.get("on"), found.get("reference", ""), said)


def _look_at_all(read: TableRead) -> None:
    """What is wrong only of all lines together."""
    boards = sum(row.bought.count for row in read.rows)
    if boards > MOST_BOARDS:
        read.faults.append(Fault(0, "", f"There are {boards:,} boards in it. Bring at most {MOST_BOARDS:,} at a time."))
    seen: dict[str, int] = {}
    for row in read.rows:
        if mark := row.bought.mark:
            if mark in seen:
                read.faults.append(
                    Fault(row.line, "mark", f"Line {seen[mark]} has {mark} already. Each board has one.")
                )
            seen.setdefault(mark, row.line)
    if promised := [row.line for row in read.rows if "promised" in row.said]:
        come = "comes" if len(promised) == 1 else "come"
        read.remarks.append(f"Promises stay with whoever made them: {lines_in_words(promised)} {come} in free.")


def lines_in_words(lines: Sequence[int]) -> str:
    """Numbers of lines, the first few of many.

    >>> lines_in_words([3]), lines_in_words([3, 7])
    ('line 3', 'lines 3 and 7')
    """
    if len(lines) == 1:
        return f"line {lines[0]}"
    if len(lines) > 8:
        return f"lines {', '.join(map(str, lines[:8]))} and {len(lines) - 8} more"
    return f"lines {', '.join(map(str, lines[:-1]))} and {lines[-1]}"
