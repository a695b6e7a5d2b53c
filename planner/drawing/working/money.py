"""Where the money goes: from what the buyer pays to every line of the cost, each with its sum as the record has it.

Bars begin where the one above them ended, so that they can be followed down without colour; nothing is worked out but
how long they are and what share that is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from planner.drawing.looks import DARK_INK, WoodLook, hex_of
from planner.drawing.marking.ink import part_fill, stroke
from planner.drawing.marking.letters import wide
from planner.drawing.marking.room import PAPER, Room
from planner.drawing.marks import mark_path
from planner.drawing.working.canvas import GROUND, Canvas, ink, shortened
from planner.measures import round_half_up

Says = Callable[[Decimal], str]

# Kind of part, its pale ground, and the way it is hatched; woods wear their own colour and mark.
_KINDS = {
    "tax": ("#e6e1d6", "upright"),
    "fees": ("#e6e1d6", "crossed"),
    "carriage": ("#e6e1d6", "level"),
    "kept": ("#d3dfc9", "rise"),
    "loss": ("#ffffff", "rise"),
    "cost": ("#efe3cf", ""),
    "woods": ("#efe3cf", ""),
    "supplies": ("#ecdcbb", "dots"),
    "hours": ("#e2bda4", "fall"),
    "running": ("#d6cfc4", "squared"),
}
_OF_COST = {"Glue": "supplies", "Abrasives": "supplies", "Finish": "supplies", "Hardware": "supplies",
            "Labour": "hours"}  # fmt: skip
_OF_PRICE = {
    "Tax in the price": "tax",
    "Tax": "tax",
    "Fees": "fees",
    "Carriage paid": "carriage",
    "Yours to keep": "kept",
    "Cost of a board": "cost",
}
_HEADS = {
    "wood": "Wood",
    "woods": "Wood",
    "supplies": "Supplies",
    "hours": "Hours",
    "running": "Running the shop",
    "carriage": "Selling it",
    "fees": "Selling it",
    "tax": "Selling it",
    "kept": "What is left",
    "loss": "What is lacking",
}


@dataclass(frozen=True, slots=True)
class Line:
    """A sum, as a record has it or as one sale comes to; ``kind`` is one of ``_KINDS``, "" for a whole, or "wood" with
    the wood's own id."""

    name: str
    amount: Decimal
    kind: str
    wood: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """A whole and the lines that add up to it, under ``heads`` where they come in groups. The bars are as long as
    ``room`` of money, where what goes out is more than the whole."""

    whole: Line
    of: str
    lines: tuple[Line, ...]
    heads: bool = False
    room: Decimal | None = None

    def long(self, line: Line) -> float:
        """How long a line's bar is, of 1."""
        whole = self.room or self.whole.amount
        return max(float(Fraction(line.amount) / Fraction(whole)), 0.0) if whole > 0 else 0.0


def money_svg(
    record: Mapping[str, Any],
    looks: Mapping[str, WoodLook],
    says: Says,
    *,
    room: Room = PAPER,
    title: str = "",
) -> str:
    """The price of one board down to its cost, and the cost of all boards down to its lines.

    ``record`` is a kept reckoning (``planner.record``), ``looks`` every wood of it, ``says`` writes an amount in the
    currency it was kept in. Where no price is set the record's own word for that stands in the price's place. Every
    sum carries ``data-sum``, the amount as the record has it; the boxes of a kind are the bars, ``data-bar`` on the
    root is how long a whole is drawn.
    """
    price, cost = _of_price(record), _of_cost(record)
    drawing = Falling(Canvas(room), looks, says, price, cost)
    y = 0.0
    if price is None:
        y = drawing.words_instead(record.get("no_price") or "No price is set for this board.")
        y = drawing.whole(cost, y)
    else:
        y = drawing.heading(price, y)
        y = drawing.whole(price, y)
        y = drawing.lines(price, y)
        y = drawing.funnel(y)
        # Of one board the cost stands there already; that of several is another sum.
        y = (drawing.heading if cost.whole.amount == price.lines[-1].amount else drawing.whole)(cost, y)
    y = drawing.lines(cost, y)
    return drawing.svg(y, title or "Where the money goes", _sentences(price, cost, record, says))


def _of_price(record: Mapping[str, Any]) -> Part | None:
    """What the buyer pays and where it goes, the cost last; None without a price."""
    figures = record["figures"]
    price = figures.get("price")
    if price is None:
        return None
    buyer = figures.get("buyer_pays")
    added = [] if buyer is None else [t for t in buyer["terms"] if t["name"] == "Tax"]
    parts = [
        Line(term["name"], _amount(term["figure"]), _OF_PRICE[term["name"]])
        for term in (*added, *price["terms"])
        if term["name"] in _OF_PRICE
    ]
    order = list(_KINDS)
    parts.sort(key=lambda line: order.index(line.kind))
    whole = Line("The buyer pays", _amount(buyer), "") if buyer else Line("Price of a board", _amount(price), "")
    return Part(whole, "of what is paid" if buyer else "of the price", tuple(parts))


def _of_cost(record: Mapping[str, Any]) -> Part:
    """The cost of all boards and its lines: the woods come first, whatever they are called."""
    figure, boards, woods = record["figures"]["cost_all"], record["spec"]["quantity"], record["woods"]
    lines = []
    for n, term in enumerate(figure["terms"]):
        if n < len(woods):
            lines.append(Line(term["name"], _amount(term["figure"]), "wood", woods[n]["wood"]))
        else:
            lines.append(Line(_with_hours(term), _amount(term["figure"]), _OF_COST.get(term["name"], "running")))
    name = "Cost of a board" if boards == 1 else f"Cost of all {boards} boards"
    return Part(Line(name, _amount(figure), "cost"), "of the cost", tuple(lines), heads=True)


def _with_hours(term: Mapping[str, Any]) -> str:
    """A line's name; that of labour says for how many hours."""
    hours = [one["figure"] for one in term["figure"]["terms"] if one["figure"]["unit"] == "h"]
    if term["name"] != "Labour" or not hours:
        return str(term["name"])
    return f"{term['name']}, {round_half_up(Fraction(hours[0]['value'][1]), 1)}\u00a0h"


def _amount(figure: Mapping[str, Any]) -> Decimal:
    return Decimal(figure["value"][1])


def _share(line: Line, whole: Line) -> Fraction:
    return Fraction(line.amount) / Fraction(whole.amount) if whole.amount > 0 else Fraction(0)


def _percent(share: Fraction) -> str:
    return f"{round_half_up(share * 100, 1)}\u00a0%".replace("-", "−")


def _sentences(price: Part | None, cost: Part, record: Mapping[str, Any], says: Says) -> str:
    told = [record.get("no_price") or "No price is set."] if price is None else []
    told += [sentences_of(part, says) for part in filter(None, (price, cost))]
    return " ".join(told)


def sentences_of(part: Part, says: Says) -> str:
    """A whole and its lines for whoever cannot see them."""
    lines = (f"{one.name}: {says(one.amount)}, {_percent(_share(one, part.whole))}." for one in part.lines)
    return " ".join([f"{part.whole.name}: {says(part.whole.amount)}.", *lines])


class Falling:
    """Lines under one another: names at the left, bars, sums and shares at the right; on a phone bars under names."""

    def __init__(
        self, canvas: Canvas, looks: Mapping[str, WoodLook], says: Says, price: Part | None, cost: Part
    ) -> None:
        self.canvas, self.looks, self.says = canvas, looks, says
        self.woods = [line.wood for line in cost.lines if line.wood]
        room, text = canvas.room, canvas.text
        self.narrow = room.short
        self.share_at = room.width
        self.sum_at = room.width - text * 4.2
        parts = [cost] if price is None else [price, cost]
        sums = [says(line.amount) for part in parts for line in (part.whole, *part.lines)]
        self.money = max(wide(one, text) for one in sums) + text * 0.8
        self.bar_at = room.fine if self.narrow else room.width * 0.36
        self.bar = room.width - 2 * room.fine if self.narrow else self.sum_at - self.money - self.bar_at
        self.high = text * 0.95
        self.step = text * 0.36
        # Where the cost's bar lies, from which the funnel opens.
        self.cost_from, self.cost_long = self.bar_at, self.bar

    def words_instead(self, words: str) -> float:
        canvas = self.canvas
        y = canvas.paragraph(0, canvas.text, words, canvas.room.width * 0.98, bold=True)
        return y + canvas.text * 0.4

    def heading(self, part: Part, y: float) -> float:
        """What the shares are shares of."""
        canvas = self.canvas
        size = canvas.text * 0.85
        canvas.write(self.share_at, y + size, part.of, size, anchor="end")
        return y + size * 1.3

    def whole(self, part: Part, y: float) -> float:
        if part.heads:
            y = self.heading(part, y)
        y, bar = self._line(part.whole, part.whole, y, bold=True)
        long = self.bar * part.long(part.whole)
        self._fill(part.whole.kind or "whole", bar, self.bar_at, long)
        return y

    def lines(self, part: Part, y: float) -> float:
        """Every line of a whole; each bar begins where the one before it ended."""
        canvas, before, at = self.canvas, "", self.bar_at
        for line in part.lines:
            head = _HEADS.get(line.kind, "") if part.heads else ""
            if head and head != before:
                y = self._head(head, y)
            before = head
            top = y
            y, bar = self._line(line, part.whole, y)
            long = part.long(line) * self.bar
            if not self.narrow and at > self.bar_at:
                canvas.upright("falls", at, top - canvas.text * 0.2, bar - top + canvas.text * 0.2)
            # What is lacking lies back over what went out before it, as far as where the whole ends.
            lacking = part.long(replace(line, amount=-line.amount)) * self.bar if line.amount < 0 else 0.0
            self._fill(line.kind, bar, at - lacking, max(long, lacking), line.wood)
            if line.kind == "cost":
                self.cost_from, self.cost_long = at, long
            at += long
        return y

    def funnel(self, y: float) -> float:
        """The cost's bar opens to the whole width, so that its lines can be told apart."""
        canvas = self.canvas
        top, low = y - canvas.text * 0.1, y + canvas.text * 1.5
        left, right = self.bar_at, self.bar_at + self.bar
        for near, far in ((self.cost_from, left), (self.cost_from + self.cost_long, right)):
            canvas.stroke("funnel", [(near, top), (far, low)])
        canvas.level("funnel", left, low, right - left)
        return low + canvas.text * 0.2

    def _head(self, words: str, y: float) -> float:
        canvas = self.canvas
        size = canvas.text * 0.85
        canvas.write(0, y + size * 1.25, words, size, bold=True)
        return y + size * 1.55

    def _line(self, line: Line, whole: Line, y: float, *, bold: bool = False) -> tuple[float, float]:
        """Name, sum and share; returns where the next line begins, and where this one's bar does."""
        canvas, text = self.canvas, self.canvas.text
        base = y + text * 1.05
        left = text * 1.5 if line.kind else 0.0
        stamp = text * 1.1
        if line.kind:
            self._stamp(line, base - text * 0.9, stamp)
        money = self.says(line.amount)
        room = (self.sum_at - self.money if self.narrow else self.bar_at - text * 0.6) - left
        canvas.write(left, base, shortened(line.name, text, room), bold=bold)
        canvas.write(self.sum_at, base, money, anchor="end", bold=bold, data={"sum": str(line.amount)})
        if line is not whole:
            canvas.write(self.share_at, base, _percent(_share(line, whole)), text * 0.9, anchor="end")
        if self.narrow:
            return y + text * 1.35 + self.high + text * 0.35, y + text * 1.4
        return y + text * 1.55, y + text * 0.25

    def _stamp(self, line: Line, y: float, side: float) -> None:
        """What a line's bar looks like, before its name."""
        canvas = self.canvas
        if line.kind == "wood":
            canvas.box(f"stamp of {line.wood}", canvas.fine, y, side, side)
            look = self.looks[line.wood]
            if look.mark:
                canvas.add(f"mark of {line.wood}", mark_path(look.mark, side * 0.12, y + side * 0.1, side * 0.8))
            return
        canvas.box(f"stamp of {line.kind}", canvas.fine, y, side, side)
        if way := _KINDS[line.kind][1]:
            canvas.hatch(f"hatch of {line.kind}", way, canvas.fine, y, side, side, self.step)

    def _fill(self, kind: str, y: float, x: float, long: float, wood: str = "") -> None:
        canvas = self.canvas
        if long <= 0:
            return
        canvas.box(wood or kind, x, y, long, self.high)
        way = "" if wood or kind == "whole" else _KINDS[kind][1]
        if way and long > canvas.fine:
            canvas.hatch(f"hatch of {kind}", way, x, y, long, self.high, self.step)
        if wood and self.looks[wood].mark and long > self.high * 1.1:
            side = self.high * 0.8
            place = x + long / 2 - side / 2, y + self.high * 0.1
            canvas.add(f"mark of {wood}", mark_path(self.looks[wood].mark, *place, side))

    def svg(self, height: float, title: str, said: str) -> str:
        canvas = self.canvas
        edge = f'stroke="{DARK_INK}" stroke-width="{canvas.fine}"'
        kinds = [("falls", ink(canvas.fine)), ("funnel", ink(canvas.fine * 1.4)), ("whole", f'fill="{GROUND}" {edge}')]
        for kind, (ground, way) in _KINDS.items():
            kinds += [(name, f'fill="{ground}" {edge}') for name in (kind, f"stamp of {kind}")]
            kinds.append((f"hatch of {kind}", stroke(canvas.fine * (2 if way == "dots" else 1.2))))
        kinds += list(self._woods(edge))
        return canvas.svg(height + canvas.text * 0.3, title, said, kinds, {"bar": f"{self.bar:.9g}"})

    def _woods(self, edge: str) -> Iterator[tuple[str, str]]:
        round_ = 'stroke-linecap="round" stroke-linejoin="round"'
        for wood in dict.fromkeys(self.woods):
            fill = f'fill="{hex_of(part_fill(self.looks[wood]))}" {edge}'
            yield wood, fill
            yield f"stamp of {wood}", fill
            yield f"mark of {wood}", stroke(self.canvas.text * 0.11, round_)
