"""What the page about a table shows: the table read against the book, and its deliveries as they would be booked."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from django.utils import timezone

from shopapp.lumber.buying.readers import LineSeen, Totals, lines_so_far, totals
from shopapp.lumber.looks import WoodSeen
from shopapp.lumber.models import Delivery, Supplier
from shopapp.lumber.planning import WOODS
from shopapp.lumber.stock.buying import DeliveryFacts

from .deliveries import Bundle, Given, Sellers, bundles_of
from .reading import Reader, TableRead, lines_in_words, read_table


@dataclass(frozen=True)
class Brought:
    """A table read against the book: its deliveries where there is no fault in it, what is asked, what is told."""

    read: TableRead
    bundles: list[Bundle]

    @property
    def new_suppliers(self) -> list[str]:
        return list(dict.fromkeys(b.facts.supplier.name for b in self.bundles if b.is_new_supplier))

    def questions(self) -> dict[str, str]:
        """What is asked, in words, by the tick that answers it."""
        words = {
            "gift": "cost nothing",
            "longer": "would be longer than 10 m",
            "reading": "would have a meter reading outside 4 to 30 %",
        }
        found = {
            name: _begin(f"{lines_in_words(lines)} {words[name]}.")
            for name, lines in ((name, self.read.asked.get(name)) for name in words)
            if lines
        }
        if new := self.new_suppliers:
            found["sellers"] = f"{', '.join(new)}: not among those you buy from."
        return found


def _begin(words: str) -> str:
    return words[:1].upper() + words[1:]


def brought(text: str, *, given: Given, shop, seen: Mapping[str, WoodSeen], unit: str, per: str) -> Brought:
    """Read a table. Raises TableError where it is none. Three queries at most, however long it is."""
    reader = Reader(
        woods=_names_of(seen),
        today=timezone.localdate(),
        unit=unit,
        per=per,
        money=(shop.currency_code, shop.currency_symbol),
        exponent=shop.currency_exponent,
    )
    read = read_table(text, reader)
    sellers = Sellers({row.name.casefold(): row for row in Supplier.objects.all()}, shop.tax)
    bundles = bundles_of(read, given, sellers)
    _remark(read, bundles, sellers, seen)
    return Brought(read, bundles)


def _names_of(seen: Mapping[str, WoodSeen]) -> dict[str, str]:
    """Ids of woods by every name they go by; this maker's own name goes before all others."""
    names: dict[str, str] = {}
    for wood, row in sorted(seen.items(), key=lambda item: item[1].row is not None):
        for name in (WOODS[wood].scientific_name, wood, WOODS[wood].name):
            names.setdefault(name.lower(), wood)
        names[row.name.lower()] = wood
    return names


def _remark(read: TableRead, bundles: Sequence[Bundle], sellers: Sellers, seen: Mapping[str, WoodSeen]) -> None:
    """What is told of a table that can be booked, and may still not be meant."""
    others = sorted(
        {seen[r.bought.wood].name for r in read.rows if not (w := seen[r.bought.wood].row) or not w.on_hand}
    )
    if others:
        read.remarks.append(f"Not among your woods, and booked all the same: {', '.join(others)}.")
    for made in sellers.made.values():
        if near := difflib.get_close_matches(made.name.casefold(), sellers.known, n=1, cutoff=0.7):
            read.remarks.append(f"Is {made.name} the same as {sellers.known[near[0]].name}? Then write it alike.")
    known = [b.facts for b in bundles if not b.is_new_supplier]
    there = Delivery.objects.filter(supplier__in=[f.supplier for f in known], on__in=[f.on for f in known])
    booked = set(there.values_list("supplier_id", "on")) if known else set()
    for facts in known:
        if (facts.supplier.pk, facts.on) in booked:
            read.remarks.append(
                f"The book has a delivery from {facts.supplier.name} of {facts.on:%d %b %Y} already. "
                "Book this one only if it is another."
            )


def _rule_words(bundle: Bundle) -> str:
    return str(Supplier.Rule(bundle.facts.reckoned_by.rule).label)


@dataclass(frozen=True)
class BundleSeen:
    """One delivery of a table as it would be booked."""

    facts: DeliveryFacts
    rule: str
    lines: list[LineSeen]
    totals: Totals


def bundles_seen(bundles: Sequence[Bundle], seen: Mapping[str, WoodSeen]) -> list[BundleSeen]:
    """Lines carry the numbers they have in the table. No query."""
    found = []
    for bundle in bundles:
        lines = lines_so_far([row.bought for row in bundle.rows], bundle.reckoned, seen)[::-1]
        numbered = [
            replace(line, number=row.line, marks=(row.bought.mark,) if row.bought.mark else ())
            for line, row in zip(lines, bundle.rows, strict=True)
        ]
        found.append(BundleSeen(bundle.facts, _rule_words(bundle), numbered, totals(numbered)))
    return found
