"""A shown number that carries how it was reached: its rule in words, its source, and the terms it came from."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from planner.measures import Length


@dataclass(frozen=True, slots=True)
class Figure:
    """``value`` in ``unit``, reached by ``rule`` from ``terms``; ``source`` names a publication or the settings.

    Units: "mm" (a Length), "bf", "m3", "m2", "tiles", "pieces", "boards", "min", "h", "money", "share", ...
    """

    value: Fraction | Decimal | int | Length
    unit: str
    rule: str
    source: str = ""
    terms: tuple[Term, ...] = ()

    def as_record(self) -> dict[str, Any]:
        """JSON-safe and exact.

        >>> Figure(Fraction(1, 3), "h", "a third").as_record()["value"]
        ['fraction', '1/3']
        """
        return {
            "value": _value_record(self.value),
            "unit": self.unit,
            "rule": self.rule,
            "source": self.source,
            "terms": [{"name": term.name, "figure": term.figure.as_record()} for term in self.terms],
        }

    @classmethod
    def from_record(cls, record: dict[str, Any]) -> Figure:
        return cls(
            _value_from(record["value"]),
            record["unit"],
            record["rule"],
            record["source"],
            tuple(Term(term["name"], cls.from_record(term["figure"])) for term in record["terms"]),
        )


@dataclass(frozen=True, slots=True)
class Term:
    """One named number that went into a figure."""

    name: str
    figure: Figure


def _value_record(value: Fraction | Decimal | int | Length) -> list[str]:
    if isinstance(value, Length):
        return ["mm", str(value.mm)]
    if isinstance(value, Decimal):
        return ["decimal", str(value)]
    if isinstance(value, Fraction):
        return ["fraction", str(value)]
    if isinstance(value, int):
        return ["whole", str(value)]
    raise TypeError(f"a figure carries a Fraction, a Decimal, an int or a Length, never a {type(value).__name__}")


def _value_from(record: list[str]) -> Fraction | Decimal | int | Length:
    kind, text = record
    if kind == "mm":
        return Length.of_mm(text)
    if kind == "decimal":
        return Decimal(text)
    return Fraction(text) if kind == "fraction" else int(text)
