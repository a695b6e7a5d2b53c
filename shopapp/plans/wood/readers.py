"""What the pages of a reckoning and of a plan show of its wood, from the record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from planner.measures import round_half_up
from shopapp.common.fields import plain_number
from shopapp.lumber.rack.moisture import MeterReading, readings_of
from shopapp.workshop.models import Workshop

from . import planning


class MovingView:
    """How a record's board moves. Nothing here is worked out anew."""

    def __init__(self, record: Mapping, unit: str) -> None:
        self.record, self.unit = record, unit
        self.found = record["moving"]

    @property
    def trouble(self) -> str:
        return self.found["trouble"]

    @property
    def does(self) -> str:
        if not Fraction(self.found["most"]["figure"]["value"][1]):
            return "stays as it is"
        return "grows" if self.found["most"]["grows"] else "shrinks"

    @property
    def most_label(self) -> str:
        place = self.found["most"]["place"]
        return f"Most: {place} {self.does}" + (" by" if self.does != "stays as it is" else "")

    @property
    def neighbours_label(self) -> str:
        also = "" if self.any_two else ", and of any two"
        return f"Neighbours that part most{also}: {self.found['neighbours']['place']}"

    @property
    def any_two(self) -> Mapping | None:
        """None where no two part more than neighbours do."""
        two, neighbours = self.found["any_two"], self.found["neighbours"]
        return None if two is None or two["place"] == neighbours["place"] else two

    @property
    def any_two_label(self) -> str:
        return f"Any two: {self.found['any_two']['place']}"

    @property
    def step_label(self) -> str:
        return f"Step in thickness {self.found['step']['place']}"

    @property
    def change_label(self) -> str:
        shop, home = (Fraction(self.found[place]["value"][1]) for place in ("shop", "home"))
        return f"{'Drier' if home < shop else 'Wetter'} in the home by" if home != shop else "Change of moisture"

    @property
    def in_the_shop(self) -> str:
        return _halves(self.found["shop"])

    @property
    def in_the_home(self) -> str:
        return _halves(self.found["home"])

    def drawing(self) -> str:
        most = self.found["most"]
        lines = "row of the picture" if planning.is_upright(self.record) else "column"
        words = f"How much further each {lines} moves than the one that moves least; most does {most['place']}"
        if two := self.found["neighbours"]:
            words += f", and {two['place']} part most of neighbours"
        return planning.columns_drawing(self.record, words)

    def coefficients(self) -> list[dict]:
        """Printed, derived and used, with the wood's own name where it is among the record's woods."""
        names = {wood["wood"]: wood["name"] for wood in self.record["woods"]}
        return [{**line, "name": names.get(line["wood"], line["wood"])} for line in self.found["coefficients"]]


def _halves(figure: Mapping) -> str:
    """Percent to the half: of a wood's moisture no more is known."""
    doubled = int(round_half_up(Fraction(figure["value"][1]) * 2, 0))
    whole, half = divmod(doubled, 2)
    return f"{whole}{'½' if half else ''}\u00a0%"


@dataclass(frozen=True)
class Meter:
    """What a meter read of the boards the plan could be made of, as the rack is now."""

    readings: list[str]
    driest: str
    wettest: str
    by: Mapping
    step: Mapping
    too_far: bool
    limit: str

    @property
    def alike(self) -> bool:
        return not Fraction(self.by["value"][1])

    @property
    def apart_label(self) -> str:
        return "Apart: all read alike" if self.alike else f"Apart: {self.wettest} and {self.driest}"


def meter_of(record: Mapping, workshop: Workshop, key: str = "") -> Meter | None:
    """None where fewer than two readings are known. One query."""
    names = {wood["wood"]: wood["name"] for wood in record["woods"]}
    readings = readings_of(names, key)
    found = planning.apart(readings, record, workshop)
    if found is None:
        return None
    return Meter(
        [_reading_words(names[wood], [one for one in readings if one.wood == wood]) for wood in _in_order(readings)],
        f"{names[found.driest.wood]} {found.driest.label}",
        f"{names[found.wettest.wood]} {found.wettest.label}",
        found.by.as_record(),
        found.step.as_record(),
        found.too_far,
        plain_number(Fraction(workshop.moisture_apart), 2),
    )


def _in_order(readings: list[MeterReading]) -> list[str]:
    return list(dict.fromkeys(one.wood for one in readings))


def _reading_words(name: str, readings: list[MeterReading]) -> str:
    """One wood's readings, driest first, as one: from and to, and of how many pieces."""
    many = sum(one.many for one in readings)
    driest, wettest = readings[0].moisture, readings[-1].moisture
    span = f"{driest:f}" if driest == wettest else f"{driest:f} to {wettest:f}"
    return f"{name} {span}\u00a0% ({many} piece{'' if many == 1 else 's'})"


@dataclass(frozen=True)
class SupplyLine:
    """What is used up of one supply beside what it costs, for all boards. ``assumed``: a rate in it is a default."""

    name: str
    used: Mapping
    cost: Mapping
    assumed: bool


class WoodView:
    """What a record says of its wood; what an older record does not hold is None or empty."""

    def __init__(self, record: Mapping, unit: str) -> None:
        self.record, self.unit = record, unit

    @property
    def moving(self) -> MovingView | None:
        return MovingView(self.record, self.unit) if "moving" in self.record else None

    @property
    def mass(self) -> Mapping | None:
        return self.record.get("mass")

    @property
    def left_unweighed(self) -> str:
        """Woods left out of what the board weighs, by name."""
        names = {wood["wood"]: wood["name"] for wood in self.record["woods"]}
        return " and ".join(names[wood] for wood in self.record["mass"]["unknown"])

    @property
    def grits(self) -> str:
        return ", ".join(str(grit) for grit in planning.USUAL_GRITS)

    def supplies(self) -> list[SupplyLine]:
        used = self.record.get("supplies")
        if used is None:
            return []
        lines = self.record["figures"]["cost_all"]["terms"][len(self.record["woods"]) :]
        costs = {term["name"]: term["figure"] for term in lines}
        return [
            SupplyLine(name, used[key], costs[name], planning.is_assumed(used[key]))
            for name, key in (("Glue", "glue"), ("Abrasives", "abrasives"), ("Finish", "finish"))
        ]

    def cautions(self) -> list[dict]:
        """Every caution of its woods once, with the woods it belongs to."""
        found: dict[str, dict] = {}
        for wood in self.record["woods"]:
            for caution in wood["cautions"]:
                entry = found.setdefault(caution["words"], {**caution, "woods": []})
                entry["woods"].append(wood["name"])
        return list(found.values())

    def cautions_by_step(self) -> list[tuple[str, list[dict]]]:
        """What to mind at each step, in the order one comes to it: what holds for every board of its use, then what is
        known of its woods."""
        return [(planning.STEPS[step], ones) for step in planning.STEPS if (ones := self.cautions_at(step))]

    def cautions_at(self, step: str) -> list[dict]:
        """The same of one step, by its key."""
        said = [
            {"kind": one.kind, "words": one.words, "source": one.source, "woods": []}
            for one in planning.cautions_for_step(step, self.record["spec"]["use"])
        ]
        return said + [
            one
            for one in self.cautions()
            if planning.step_of_wood_caution(one["kind"]) == step
            and not planning.is_said_of_all(one["kind"], one["source"])
        ]
