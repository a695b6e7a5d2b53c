"""What the pages show of a comparison, from its JSON form; nothing here is worked out anew."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from urllib.parse import urlencode

# What a table has of each way, in its order: heading, figure. The rest is told way by way.
_COLUMNS = (
    ("Pieces", "pieces"),
    ("Cuts", "crosscuts"),
    ("Strips", "strips"),
    ("End-grain joints", "end_joints"),
    ("Wood", "wood"),
    ("Hours", "hours"),
    ("Wood and hours", "total"),
)
_LEFT_OUT = {"crosscuts", "strips"}
_LABELS = (
    ("Pieces to cut and lay", "pieces"),
    ("Crosscuts, or slices cut", "crosscuts"),
    ("Strips to rip", "strips"),
    ("Settings of fence and stop", "stops"),
    ("Rows or panels glued", "glue_ups"),
    ("Joints end grain to end grain", "end_joints"),
    ("Joints along the grain", "long_joints"),
    ("Joint area to glue", "glue_area"),
    ("To dust and in the hand", "waste"),
    ("Wood", "wood"),
    ("Hours, likely", "hours"),
    ("Wood and hours", "total"),
    ("Weakest seam carried by", "carried"),
    ("Of the board across its rows", "share"),
    ("Longest stretch of it without long grain", "gap"),
)


@dataclass(frozen=True)
class Mend:
    """One remedy, and where the board can be reckoned so."""

    record: Mapping
    address: str

    @property
    def share(self) -> dict:
        return _share(self.record["share"])


@dataclass(frozen=True)
class WayView:
    record: Mapping
    address: str
    mends: list[Mend]
    is_best: bool
    is_chosen: bool
    least_at: Mapping[int, str]

    @property
    def figures(self) -> Mapping:
        return self.record["figures"]

    @property
    def cells(self) -> list[tuple[str, Mapping, bool]]:
        """Heading, figure, and whether a card on a phone leaves it to what is told of the way below."""
        return [(words, self.figures[name], name in _LEFT_OUT) for words, name in _COLUMNS]

    @property
    def lines(self) -> list[tuple[str, Mapping]]:
        return [(words, self.figures[name]) for words, name in _LABELS if name in self.figures]

    @property
    def at(self) -> list[dict]:
        """Money and hours for each number of boards compared, and whether no other way that holds comes to less."""
        return [
            {
                "copies": int(copies),
                "hours": _of(hours, "h"),
                "total": {**_of(total, "money"), "value": ["decimal", total]},
                "least": self.least_at.get(int(copies)) == self.record["key"],
            }
            for copies, (hours, total) in sorted(self.record["at"].items(), key=lambda one: int(one[0]))
        ]


def compared_then(record: Mapping) -> Compared | None:
    """What was compared when a plan was kept; nothing for plans of before."""
    form = record.get("methods")
    return None if form is None else Compared(form, form["chosen"])


class Compared:
    """A comparison's form as pages read it. ``asked`` are the fields of the board as they were typed, from which the
    address of every other way follows; without them there is nothing to choose any more."""

    def __init__(
        self, form: Mapping, chosen: str, *, reckoning: str = "", asked: Mapping[str, str] | None = None, typed=None
    ) -> None:
        self.form, self.chosen = form, chosen
        self._reckoning, self._asked, self._typed = reckoning, asked, typed
        self._ways = {way["key"]: way for way in form["ways"]}
        self.copies = form["copies"]
        self.kept = asked is None
        self._least_at = _least_at(form["ways"])

    def way(self, key: str | None) -> WayView | None:
        if key is None:
            return None
        record = self._ways[key]
        mends = [Mend(one, self._address(one["changes"], record)) for one in record["remedies"]]
        here = "" if record["refused"] else self._address({}, record)
        return WayView(record, here, mends, key == self.form["choice"]["best"], key == self.chosen, self._least_at)

    def _address(self, changes: Mapping[str, str], record: Mapping) -> str:
        if self._asked is None:
            return ""
        typed = {name: self._typed(name, value) for name, value in changes.items()}
        if "along" in changes:
            typed["along"] = changes["along"]
        new = {**self._asked, "method": record["method"], "along": record["along"], **typed}
        return f"{self._reckoning}?{urlencode(new)}"

    @property
    def best(self) -> WayView | None:
        return self.way(self.form["choice"]["best"])

    @property
    def runner_up(self) -> WayView | None:
        return self.way(self.form["choice"]["runner_up"])

    @property
    def mended(self) -> dict | None:
        """A way that falls short and would be enough mended, for less than any that needs no mending."""
        found = self.form["choice"]["mended"]
        if found is None:
            return None
        way = self.way(found["key"])
        mend = next(one for one in way.mends if one.record["kind"] == found["kind"])
        return {"way": way, "mend": mend, "total": found["total"]}

    @property
    def asked_for(self) -> WayView | None:
        """The way the board is reckoned or was kept."""
        return self.way(self.chosen) if self.chosen in self._ways else None

    @property
    def difference(self) -> Mapping | None:
        return self.form["choice"]["difference"]

    @property
    def no_difference(self) -> bool:
        return self.difference is not None and Fraction(self.difference["value"][1]) == 0

    @property
    def meeting(self) -> int:
        return self.form["choice"]["meeting"]

    @property
    def limit(self) -> dict:
        return _share(self.form["least_carried"])

    @property
    def ways(self) -> list[WayView]:
        """Those whose seams hold first, of them the least money; what is refused without a figure comes last."""
        return [self.way(key) for key in sorted(self._ways, key=self._order)]

    def _order(self, key: str) -> tuple:
        way = self._ways[key]
        total = Fraction(way["figures"]["total"]["value"][1]) if way["figures"] else Fraction(0)
        return bool(way["refused"]), not way["meets"], not way["figures"], total

    @property
    def counted(self) -> list[WayView]:
        return [way for way in self.ways if way.figures]

    @property
    def uncounted(self) -> list[WayView]:
        return [way for way in self.ways if not way.figures]

    @property
    def headings(self) -> list[str]:
        return [words for words, _ in _COLUMNS]

    @property
    def at_numbers(self) -> list[WayView]:
        return [way for way in self.ways if way.record["at"] and not way.record["refused"]]

    @property
    def paying(self) -> list[tuple[str, Mapping]]:
        """From how many boards a way takes no longer than the best, in words and as a figure."""
        return [
            (_paying_words(self._ways[one["key"]]["words"], one["first"], one["always"]), one["first"])
            for one in self.form["paying"]
            if one["first"] is not None
        ]

    @property
    def never(self) -> list[str]:
        """Ways that take longer than the best however many are made."""
        return [self._ways[one["key"]]["words"].lower() for one in self.form["paying"] if one["first"] is None]


def _least_at(ways: list[Mapping]) -> dict[int, str]:
    """For each number of boards, which way comes to the least of all that hold."""
    found: dict[int, tuple[Fraction, str]] = {}
    for way in ways:
        if way["meets"] and not way["refused"]:
            for copies, (_, total) in way["at"].items():
                one = Fraction(total), way["key"]
                if int(copies) not in found or one[0] < found[int(copies)][0]:
                    found[int(copies)] = one
    return {copies: key for copies, (_, key) in found.items()}


def _paying_words(way: str, first: Mapping, always: int | None) -> str:
    number = int(first["value"][1])
    if always is None:
        return f"{way}: no longer at {_boards(number)}, but longer with many"
    since = "from the first board on" if always == 1 else f"from {_boards(always)} on"
    return f"{way}: no longer {since}" + ("" if always == number else f", and at {_boards(number)} already")


def _boards(number: int) -> str:
    return "one board" if number == 1 else f"{number} boards"


def _share(text: str) -> dict:
    return _of(text, "share")


def _of(text: str, unit: str) -> dict:
    return {"value": ["fraction", text], "unit": unit, "rule": "", "source": "", "terms": []}
