"""What the pages about reckonings and plans show, from a record."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from copy import copy
from decimal import Decimal
from fractions import Fraction

from planner.measures import Length, format_length, round_half_up
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.planning import pattern_from_text
from shopapp.lumber.planning import offers
from shopapp.lumber.rack.strips import free_strip
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import first_sizes

from . import planning
from .forms import ALONG, METHODS, USES
from .lines import LaidRow, LaidRun, PanelLine, PartLine, Share, WoodLine
from .models import Plan
from .wood.readers import WoodView


class RecordView:
    """A record as pages and papers show it; nothing here is worked out anew but sums of what stands in it.

    ``unit`` is what the shop writes lengths in."""

    def __init__(self, record: dict, title: str, unit: str) -> None:
        self.record = record
        self.title = title
        self.unit = unit

    @property
    def figures(self) -> dict:
        return self.record["figures"]

    @property
    def spec(self) -> dict:
        return self.record["spec"]

    @property
    def copies(self) -> int:
        return self.spec["quantity"]

    @property
    def made_to(self) -> str:
        return dict(USES).get(self.spec["use"], self.spec["use"])

    @property
    def built_as(self) -> str:
        return dict(METHODS).get(self.spec["method"], self.spec["method"])

    @property
    def is_upright(self) -> bool:
        """Whether the rows stand upright as the board hangs."""
        return planning.along_of(self.record) == "columns"

    @property
    def has_deep_rows(self) -> bool:
        return len(self.record["laid"]) < self.record["rows"]

    @property
    def is_end_grain(self) -> bool:
        return bool(self.record.get("panels"))

    @property
    def rows_run(self) -> str:
        return dict(ALONG)[planning.along_of(self.record)]

    @property
    def hanging_size(self) -> tuple[Length, Length]:
        """How wide and how high the finished board hangs."""
        return planning.hanging_size(self.record)

    @property
    def borders(self) -> list[tuple[str, str]]:
        """What borders are called, and how wide they are: those at the sides first, then those at top and bottom."""
        sizes = zip(planning.BORDERS[planning.along_of(self.record)], ("side_border", "end_border"), strict=True)
        found = [(words, self.spec[name]) for words, name in sizes]
        return found[::-1] if self.is_upright else found

    @property
    def border_wood(self) -> str:
        """Empty where the board has neither border nor background."""
        return self.names().get(self.spec["border_wood"], "")

    @property
    def hours_of_all(self) -> str:
        return f"Hours for all {self.copies}, likely"

    @property
    def carriage_charged(self) -> bool:
        return any(term["name"] == "Carriage the buyer pays" for term in self.figures["price"]["terms"])

    def board(self) -> str:
        wide, high = (format_length(size, self.unit) for size in self.hanging_size)
        many = sum(row.get("deep", 1) > 0 for row in self.record["laid"])
        rows = f"{many} {'upright ' if self.is_upright else ''}rows"
        return planning.board_drawing(self.record, f"{self.title}: a board of {rows}, {wide} by {high}")

    def pattern(self) -> str:
        row_1 = "as it hangs, row 1 at the left" if self.is_upright else "row 1 at the top"
        return planning.pattern_drawing(self.record, f"{self.title}: the pattern, {row_1}")

    def woods(self) -> list[WoodLine]:
        return [WoodLine(w, planning.plank(self.record, w["wood"])) for w in self.record["woods"]]

    def woods_on_paper(self) -> list[WoodLine]:
        """As above, each plank saying its mark, for a tagged paper leaves no drawing without words."""
        return [WoodLine(w, planning.plank(self.record, w["wood"], spoken=True)) for w in self.record["woods"]]

    @property
    def details(self) -> list[Mapping]:
        """What is done to each board once it is cut to size; records of before have none."""
        return self.record.get("details", [])

    def names(self) -> dict[str, str]:
        """Of every wood; two of one name are told apart by their marks."""
        woods = self.record["woods"]
        often = Counter(w["name"] for w in woods)
        return {w["wood"]: w["name"] if often[w["name"]] == 1 else f"{w['name']} ({w['mark']})" for w in woods}

    def parts(self) -> list[PartLine]:
        names = self.names()
        lines = [
            PartLine(
                part,
                planning.part_words(part, planning.along_of(self.record)),
                names[part["wood"]],
                part["count"] * (1 if part.get("for_all") else self.copies),
            )
            for part in self.record["parts"]
        ]
        return sorted(lines, key=lambda line: (line.wood_name, line.record["kind"], -Fraction(line.record["place"][0])))

    def rows(self) -> list[LaidRow]:
        names, parts = self.names(), self.record["parts"]
        rows = []
        for row in self.record["laid"]:
            runs = [
                LaidRun(
                    names[parts[n]["wood"]],
                    parts[n]["tiles"],
                    parts[n]["kind"] in BORDERS_IN_ROWS,
                    parts[n]["stages"]["crosscut"][0],
                )
                for n in row["parts"]
            ]
            first = row.get("first", row["number"])
            last = first + max(row.get("deep", 1), 1) - 1
            rows.append(LaidRow(row["number"], runs, first, last, row.get("panel", 0), row.get("turned", False)))
        return rows

    def panels(self) -> list[PanelLine]:
        names, parts = self.names(), self.record["parts"]
        rows = self.rows() if self.record.get("panels") else []
        found = []
        for panel in self.record.get("panels", ()):
            strips = [
                LaidRun(
                    names[parts[n]["wood"]],
                    parts[n]["tiles"],
                    parts[n]["kind"] in BORDERS_IN_ROWS,
                    parts[n]["stages"]["gauged"][1],
                )
                for n in panel["strips"]
            ]
            found.append(PanelLine(panel, strips, [row for row in rows if row.panel == panel["number"]]))
        return found

    def cost_lines(self) -> list[dict]:
        return self.figures["cost_all"]["terms"]

    def shares(self) -> list[Share]:
        """Where the price of one board goes, with the carriage the buyer pays beside it: wood, supplies, hours,
        overhead and the rest, fees, what is kept. What is shown adds up to what the buyer pays, tax on top left out."""
        price = self.figures.get("price")
        if price is None:
            return []
        decimals = _decimals_of(price)
        rounded = [(name, Fraction(round_half_up(amount, decimals))) for name, amount in self._amounts()]
        whole = sum((amount for _, amount in rounded), Fraction(0))
        shares, x = [], Fraction(0)
        for name, amount in rounded:
            if amount > 0 and whole > 0:
                part = amount / whole
                figure = {"value": ["decimal", str(round_half_up(amount, decimals))], "unit": "money"}
                shares.append(Share(name, figure, part, f"{float(x * 100):.2f}", f"{float(part * 100):.2f}"))
                x += part
        return shares

    def _amounts(self) -> list[tuple[str, Fraction]]:
        """Parts of the price in exact money, adding up to it. The lines of a cost begin with its woods, whatever
        these are called; what rounding the cost of one board moved is among the rest."""
        woods, others = self._cost_of_one()
        terms = {term["name"]: Fraction(term["figure"]["value"][1]) for term in self.figures["price"]["terms"]}
        decimals = _decimals_of(self.figures["cost"])
        wood, supplies, labour = (
            Fraction(round_half_up(amount, decimals))
            for amount in (woods, sum(others.get(name, Fraction(0)) for name in _SUPPLIES), others["Labour"])
        )
        rest = Fraction(self.figures["cost"]["value"][1]) - wood - supplies - labour
        return [
            ("Wood", wood),
            ("Glue, abrasives, finish" + ", hardware" * ("Hardware" in others), supplies),
            ("Hours", labour),
            ("Overhead, reserve, packaging", rest),
            (
                "Fees, tax and carriage",
                terms["Fees"] + terms.get("Tax in the price", 0) + terms.get("Carriage paid", 0),
            ),
            ("Yours to keep", terms["Yours to keep"]),
        ]

    def _cost_of_one(self) -> tuple[Fraction, dict[str, Fraction]]:
        lines = [(term["name"], Fraction(term["figure"]["value"][1]) / self.copies) for term in self.cost_lines()]
        woods = len(self.record["woods"])
        return sum((amount for _, amount in lines[:woods]), Fraction(0)), dict(lines[woods:])

    @property
    def wood(self) -> WoodView:
        """How it moves, what it weighs and uses up, what to mind at each step."""
        return WoodView(self.record, self.unit)


_SUPPLIES = ("Glue", "Abrasives", "Finish", "Hardware")
# Of a row's pieces those that are border, with or without background; and a border's own slices.
BORDERS_IN_ROWS = ("side border", "through row", "top or bottom border")


def _decimals_of(money: Mapping) -> int:
    """How many decimals a figure of money was rounded to when it was reckoned."""
    return -min(0, int(Decimal(money["value"][1]).as_tuple().exponent))


def shop_as_kept(workshop: Workshop, record: Mapping) -> Workshop:
    """The shop as it is now, with the currency the record's amounts are in."""
    shop, currency = copy(workshop), record.get("currency")
    if currency:
        shop.currency_symbol, shop.currency_exponent = currency["symbol"], currency["exponent"]
    return shop


def border_woods() -> list[tuple[str, str]]:
    return [(offer.wood, offer.name) for offer in offers().values()]


def kept_plans() -> list[Plan]:
    """The newest kept plans. One query."""
    return list(Plan.objects.select_related("design", "kept_by").defer("inputs", "result")[:200])


def figures_at_the_bench(design: Design, text: str, workshop: Workshop) -> dict[str, object]:
    """What a board of the pattern ``text`` comes to, with the sizes of this design's newest plan, or with those a
    maker might start from. Raises PlannerError in words. Nothing is kept."""
    pattern = pattern_from_text(text)
    drawing = PatternVersion(
        design=design, pattern=pattern.to_text(), height=pattern.height, width=pattern.width, number=0
    )
    plan = Plan.objects.filter(design=design).defer("result").first()
    board = first_board(workshop, drawing)
    if plan is not None:
        woods = {name for name, _ in border_woods()}
        asked = planning.board_of_plan(plan)
        # A border of wood that ran out meanwhile would stop every reckoning.
        board = {
            **board,
            **asked,
            "border_wood": asked["border_wood"] if asked["border_wood"] in woods else board["border_wood"],
        }
    record = planning.reckon_board(drawing, board, workshop)[1]
    return {
        "view": RecordView(record, design.name, workshop.unit),
        "plan": plan,
        "seam": seam_figure(record),
        "free": _free_at_the_bench(record, workshop),
    }


def _free_at_the_bench(record: Mapping, workshop: Workshop) -> str:
    """What strip of every wood on hand is free for tiles of the board's size, as the bench reads it."""
    pitch, thickness = (Length.of_mm(record["spec"][side]) for side in ("pitch", "thickness"))
    return json.dumps(free_strip(pitch, thickness, workshop).as_answer())


def seam_figure(record: Mapping) -> dict | None:
    """The weakest seam as a figure: how much long grain carries it, with the terms it is told by."""
    weakest = record["weakest"]
    if weakest is None:
        return None
    along = planning.along_of(record)
    place = planning.seam_place(weakest["column"], record["columns"], along)
    _, borders = planning.BORDERS[along]
    return {
        "value": ["mm", weakest["carried"]],
        "unit": "mm",
        "rule": f"{place}: the rows where a run or border lies across the seam × pitch + both {borders}",
        "source": "",
        "terms": [
            _plain_term("The board across its rows", weakest["of"]),
            _plain_term("Longest stretch without any", weakest["longest_gap"]),
        ],
    }


def _plain_term(name: str, length: str) -> dict:
    return {"name": name, "figure": {"value": ["mm", length], "unit": "mm", "rule": "", "source": "", "terms": []}}


def plans_that_do_not_match_their_hash() -> list[str]:
    return [
        f"Plan {plan.pk} ({plan.title}) does not match its hash."
        for plan in Plan.objects.iterator(chunk_size=50)
        if not plan.matches_its_hash
    ]


def first_board(workshop: Workshop, version: PatternVersion) -> dict[str, object]:
    """What the board form starts from: round sizes, what is usually asked, and for border the lightest wood on hand
    that the picture itself does not use."""
    return {
        **first_sizes(workshop.unit),
        "use": "wall",
        "method": "runs",
        "along": "rows",
        "quantity": 1,
        "details": (),
        **planning.usually_asked(workshop),
        "border_wood": planning.border_for(version),
    }
