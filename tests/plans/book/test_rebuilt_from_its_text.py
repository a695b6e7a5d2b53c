"""From the text of a shop book alone a stranger rebuilds the board: the picture, every part with its sizes, every set-up.

The text is taken out of the PDF by pdftotext and read by readers that import nothing of the house. What they find is
held against the kept plan's record and the kept cut plan; then every number the readers go by is printed wrong, one at a
time, and none goes unnoticed.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from random import Random

import pytest

from planner.measures import Length, format_length
from planner.pattern import Pattern
from shopapp.plans.book.actions import ask_for_book
from shopapp.plans.book.doors import binding_of
from shopapp.plans.book.paper import shop_book_pdf
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.workshop.models import Workshop
from tests.support.book_pages import Misprint, Texts, pages_of, texts_of
from tests.support.book_set_ups import Cut, Sawing, SetUp, sawing_of
from tests.support.book_text import Laid, Panel, Parts, Rows, parts_of, rows_of
from tests.support.cutting import cutting, plan_and_rack

pytestmark = pytest.mark.django_db
mm, inch = Length.of_mm, Length.of_inches
NOUGHT = mm(0)
STAGES = ("ripped", "gauged", "crosscut", "dressed", "finished")


@dataclass(frozen=True)
class Case:
    """A random board of ``seed``; ``asked`` is what differs from the usual one. ``bare`` pictures reach their edges."""

    seed: int
    asked: dict
    unit: str = "mm"
    paper: str = "A4"
    sawn: bool = False
    bare: bool = False


FRACTIONS = {"pitch": inch("3/4"), "thickness": inch("5/8"), "side_border": inch("7/4"), "end_border": inch("3/2")}
NO_BORDERS = {"side_border": NOUGHT, "end_border": NOUGHT}
CASES = {
    "runs, sawn": Case(1, {}, sawn=True),
    "tiles, two copies, inches, Letter, sawn": Case(
        2, {"method": "tiles", "quantity": 2, **FRACTIONS}, "in", "letter", sawn=True
    ),
    "deep rows, upright, Letter": Case(3, {"method": "deep", "along": "columns"}, paper="letter"),
    "panels, three copies, sawn": Case(
        4, {"method": "panels", "quantity": 3, "side_border": mm(17), "end_border": mm(25)}, sawn=True
    ),
    "panels, upright, without borders, inches": Case(
        5, {"method": "panels", "along": "columns", **FRACTIONS, **NO_BORDERS}, "in", bare=True
    ),
    "tiles, upright, without borders, sawn": Case(
        6, {"method": "tiles", "along": "columns", **NO_BORDERS}, sawn=True, bare=True
    ),
    "runs, seven copies, millimetres in inches, Letter": Case(7, {"quantity": 7}, "in", "letter"),
    "deep rows, two copies, inches, sawn": Case(8, {"method": "deep", "quantity": 2, **FRACTIONS}, "in", sawn=True),
}


def drawing(case: Case) -> str:
    """Runs of three woods and background, some rows as the one before."""
    random = Random(case.seed)
    wide, high = random.randint(5, 9), random.randint(4, 8)
    rows: list[str] = []
    while len(rows) < high:
        if rows and random.random() < 0.3:
            rows.append(rows[-1])
            continue
        row = ""
        while len(row) < wide:
            row += random.choice("kry.") * random.randint(1, 4)
        rows.append(row[:wide])
    if case.bare:
        return "\n".join(rows)
    return "\n".join(["." * (wide + 2), *(f".{row}." for row in rows), "." * (wide + 2)])


@dataclass(frozen=True)
class Printed:
    """What a book says, and what it was made of."""

    texts: Texts
    record: dict
    set_ups: dict
    kerfs: tuple[int, int] | None
    unit: str


# A paper takes seconds: one of each serves all tests.
_PRINTED: dict[str, Printed] = {}


@pytest.fixture
def printed(request, owner) -> Printed:
    name = request.param
    if name not in _PRINTED:
        _PRINTED[name] = printed_anew(owner, CASES[name])
    return _PRINTED[name]


def printed_anew(owner, case: Case) -> Printed:
    # Allowances of whole sixty-fourths leave sizes that are fractions.
    fine = {} if case.unit == "mm" else {"glue_line": NOUGHT, "dressing": inch("1/64"), "gauge_allowance": inch("1/64")}
    Workshop.objects.update_or_create(pk=1, defaults={"unit": case.unit, **fine})
    plan = plan_and_rack(owner, drawing(case), each=4, long=1500, **case.asked)
    sheet = None
    if case.sawn:
        search = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
        sheet = keep_plan_of(who=owner, cutting=cutting(plan), search=search)
    book = ask_for_book(who=owner, binding=binding_of(plan), paper=case.paper)
    texts = texts_of(shop_book_pdf(book))
    shop = Workshop.objects.get()
    kerfs = (shop.crosscut_kerf, shop.rip_kerf)
    return Printed(texts, plan.record, sheet.set_ups_record if sheet else {}, kerfs, case.unit)


every_board = pytest.mark.parametrize("printed", list(CASES), indirect=True)
every_sawn = pytest.mark.parametrize("printed", [name for name, case in CASES.items() if case.sawn], indirect=True)


class Told:
    """The same as the record says it."""

    def __init__(self, printed: Printed) -> None:
        self.record, self.unit, self.set_ups = printed.record, printed.unit, printed.set_ups
        self.names = {wood["wood"]: wood["name"] for wood in self.record["woods"]}
        self.panels = bool(self.record["panels"])

    def long(self, text: str) -> str:
        return format_length(Length.of_mm(text), self.unit, with_unit=False)

    def picture(self) -> list[list[str]]:
        pattern = Pattern.from_text(self.record["pattern"])
        woods = (self.record["spec"]["border_wood"], *pattern.woods)
        return [[self.names[woods[cell]] for cell in row] for row in pattern.rows]

    def piece(self, number: int) -> Laid:
        part = self.record["parts"][number]
        border = part["kind"] in ("side border", "through row", "top or bottom border")
        size = part["stages"]["gauged"][1] if self.panels else part["stages"]["crosscut"][0]
        return Laid(self.names[part["wood"]], part["tiles"], border, self.long(size))

    def rows(self) -> list[tuple[tuple[Laid, ...], tuple[int, int]]]:
        return [
            (
                tuple(self.piece(number) for number in row["parts"]),
                (row["first"], row["first"] + row["deep"] - 1) if row["first"] else (0, 0),
            )
            for row in self.record["laid"]
        ]

    def all_panels(self) -> list[Panel]:
        return [
            Panel(
                tuple(self.piece(number) for number in panel["strips"]),
                tuple((many, self.long(length)) for length, many in panel["lengths"]),
                self.long(panel["size"][1]),
                self.long(panel["size"][2]),
                panel["slices"],
                self.long(panel["sliced"]),
                panel["spare"],
            )
            for panel in self.record["panels"]
        ]

    def parts(self) -> Counter:
        """By wood, tiles and rows: how many, and the sizes at each stage."""
        copies = self.record["spec"]["quantity"]
        return Counter(
            (
                self.names[part["wood"]],
                part["tiles"],
                part["deep"],
                part["count"] * (1 if part.get("for_all") else copies),
                tuple(tuple(self.long(side) for side in part["stages"][name]) for name in STAGES),
            )
            for part in self.record["parts"]
        )

    def woods(self) -> dict[str, tuple[int, int, int]]:
        return {w["name"]: (w["spares"], w["strips"], w["rough_lengths"]) for w in self.record["woods"]}

    def sawing(self) -> list[SetUp]:
        return [self.set_up(step) for step in self.set_ups["steps"]]

    def set_up(self, step: dict) -> SetUp:
        what = {"fence": "Fence", "stop": "Stop", "thickness": "Thickness", "mark": "Pencil mark"}
        settings, rough = step["settings"], step["kind"] == "rough"
        spacer = next((self.long(one["spacer"]) for one in settings if one["spacer"] != "0"), "")
        exact = next((self.long(one["exact"]) for one in settings if one["exact"] != one["set_to"]), "")
        return SetUp(
            number=step["number"],
            machine="" if rough else step["machine"],
            settings=[(what[one["what"]], self.long(one["set_to"])) for one in settings],
            spacer=spacer,
            exact=exact,
            pieces=sum(cut["count"] for cut in step["cuts"]),
            spares=sum(cut["spares"] for cut in step["cuts"]),
            passes=step["passes"],
            bundle=step["bundle"],
            held="" if step["held"] is None else self.long(step["held"]),
            cuts=[
                Cut(
                    cut["piece"],
                    "" if rough else cut["what"],
                    cut["count"],
                    () if rough else tuple(self.long(side) for side in cut["size"]),
                    tuple(cut["gives"]),
                )
                for cut in step["cuts"]
            ],
        )

    def tape(self) -> dict[str, tuple[str, str, str]]:
        """Of every rough length where it begins on its board, where it ends, and how long it is."""
        return {
            cut["gives"][0]: (
                self.long(cut["begins"]),
                self.long(str(Fraction(cut["begins"]) + Fraction(cut["size"][0]))),
                self.long(cut["size"][0]),
            )
            for step in self.set_ups["steps"]
            for cut in step["cuts"]
            if step["kind"] == "rough"
        }


def tiles_and_depth(name: str) -> tuple[int, int]:
    """What a part's name says: how many tiles long it is, of how many rows of the picture."""
    deep = re.search(r", (\d+) rows deep$", name)
    tiles = re.search(r"(?:run|strip) of (\d+)|with (\d+) of background", name)
    one = int(name.split(",")[0] in ("tile", "end tile", "through tile"))
    return int(tiles[1] or tiles[2]) if tiles else one, int(deep[1]) if deep else 1


def of_text(parts: Parts) -> Counter:
    return Counter((part.wood, *tiles_and_depth(part.name), part.pieces, part.stages) for part in parts.parts)


@every_board
def test_the_picture_and_every_row_are_rebuilt(printed):
    told, rows = Told(printed), rows_of(pages_of(printed.texts))
    assert rows.picture == told.picture()
    assert [(row.pieces, row.picture) for row in rows.rows] == told.rows()
    assert list(rows.panels) == told.all_panels()
    assert list(rows.turned) == [(row["panel"], row["turned"]) for row in printed.record["laid"] if told.panels]


@every_board
def test_every_part_is_rebuilt_with_its_count_and_its_size_at_every_stage(printed):
    told, parts = Told(printed), parts_of(pages_of(printed.texts))
    found, wanted = of_text(parts), told.parts()
    if any(part["kind"] == "through row" for part in printed.record["parts"]):
        # A through row is all of a row, and is not called by its tiles.
        found, wanted = (Counter({key[:1] + key[3:]: n for key, n in each.items()}) for each in (found, wanted))
    assert found == wanted
    assert parts.woods == told.woods()


@every_sawn
def test_every_set_up_is_rebuilt(printed):
    told, sawing = Told(printed), sawing_of(pages_of(printed.texts))
    assert sawing.kerfs == tuple(format_length(kerf, printed.unit, with_unit=False) for kerf in printed.kerfs)
    assert sawing.set_ups == told.sawing()
    assert sawing.tape == told.tape()


@every_board
def test_rows_parts_and_set_ups_say_the_same_of_one_another(printed):
    """As many pieces are laid as are cut, of the same sizes."""
    pages = pages_of(printed.texts)
    rows, parts, copies = rows_of(pages), parts_of(pages), printed.record["spec"]["quantity"]
    if rows.panels:
        laid = Counter(
            (piece.wood, piece.size, long)
            for panel in rows.panels
            for many, long in panel.glued
            for piece in panel.pieces
            for _ in range(many)
        )
        cut = Counter()
        for part in parts.parts:
            cut[part.wood, part.stages[1][1], part.stages[1][0]] += part.pieces
    else:
        laid = Counter((piece.wood, piece.size) for row in rows.rows for piece in row.pieces for _ in range(copies))
        cut = Counter()
        for part in parts.parts:
            if part.name not in ("top or bottom border", "left or right border"):
                cut[part.wood, part.stages[2][0]] += part.pieces
    assert laid == cut
