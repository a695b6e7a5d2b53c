"""Figures of what was written down, as pages open them: a rule in words, and the entries as terms."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

Record = dict[str, object]


def wood(value: Fraction, rule: str, terms: Iterable[tuple[str, Fraction]] = ()) -> Record:
    """Of board feet, which a page says in the shop's own measure."""
    return _figure("fraction", value, "wood", rule, [_term(name, "fraction", one, "wood") for name, one in terms])


def money(value: Decimal, rule: str, terms: Iterable[Mapping] = ()) -> Record:
    return _figure("decimal", value, "money", rule, list(terms))


def amount(name: str, value: Decimal, rule: str = "as it was written down") -> Record:
    return _term(name, "decimal", value, "money", rule)


def told(name: str, figure: Mapping) -> Record:
    """A figure as a term of another."""
    return {"name": name, "figure": figure}


def _term(name: str, kind: str, value: object, unit: str, rule: str = "as it was written down") -> Record:
    return {"name": name, "figure": _figure(kind, value, unit, rule, [])}


def _figure(kind: str, value: object, unit: str, rule: str, terms: list) -> Record:
    return {"value": [kind, str(value)], "unit": unit, "rule": rule, "source": "", "terms": terms}
