"""Random boards with their shop books printed, and what their records say in the books' own terms."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from planner.measures import Length, format_length
from planner.pattern import Pattern
from shopapp.plans.book.actions import ask_for_book
from shopapp.plans.book.doors import binding_of
from shopapp.plans.book.paper import book_html, shop_book_pdf
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.workshop.models import Workshop
from tests.support.book_pages import Texts, texts_of
from tests.support.book_set_ups import Cut, SetUp
from tests.support.book_text import Laid, Panel, Row
from tests.support.cutting import cutting, plan_and_rack

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
THIN_BORDERS = {"side_border": inch("1/2"), "end_border": inch("5/8")}
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
    "panels, upright, nine copies, inches, Letter, sawn": Case(
        9,
        {"method": "panels", "along": "columns", "quantity": 9, **FRACTIONS, **THIN_BORDERS},
        "in",
        "letter",
        sawn=True,
    ),
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

    html: str
    pdf: bytes
    texts: Texts
    record: dict
    set_ups: dict
    kerfs: tuple[Length, Length]
    unit: str
    plan_hash: str


def printed_anew(owner, case: Case) -> Printed:
    # Allowances of whole sixty-fourths leave sizes that are fractions.
    fine = {} if case.unit == "mm" else {"glue_line": NOUGHT, "dressing": inch("1/64"), "gauge_allowance": inch("1/64")}
    Workshop.objects.update_or_create(pk=1, defaults={"unit": case.unit, **fine})
    plan = plan_and_rack(owner, drawing(case), each=12, long=1500, **case.asked)
    sheet = None
    if case.sawn:
        search = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
        sheet = keep_plan_of(who=owner, cutting=cutting(plan), search=search)
    book = ask_for_book(who=owner, binding=binding_of(plan), paper=case.paper)
    pdf = shop_book_pdf(book)
    html = book_html(book)
    shop = Workshop.objects.get()
    kerfs = (shop.crosscut_kerf, shop.rip_kerf)
    return Printed(
        html, pdf, texts_of(pdf), plan.record, sheet.set_ups_record if sheet else {}, kerfs, case.unit, plan.sha256
    )


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

    def rows(self) -> list[Row]:
        """A row that is as an earlier one, with others between, says so; slices do not."""
        found, seen, before = [], {}, None
        for row in self.record["laid"]:
            key = (*row["parts"], row["deep"])
            like = found[-1].like if key == before else seen.get(key, 0)
            like = 0 if self.panels else like
            pieces = tuple(self.piece(number) for number in row["parts"])
            picture = (row["first"], row["first"] + row["deep"] - 1) if row["first"] else (0, 0)
            found.append(Row(pieces, picture, like))
            seen.setdefault(key, row["number"])
            before = key
        return found

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
        """By wood, tiles and rows: how many, and the sizes at each stage. A through row is not called by its tiles."""
        copies = self.record["spec"]["quantity"]
        return Counter(
            (
                self.names[part["wood"]],
                0 if part["kind"] == "through row" else part["tiles"],
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
