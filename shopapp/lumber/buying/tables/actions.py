"""A table goes into the book: suppliers who are new, and every delivery, all or none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from django.db import transaction

from shopapp.lumber.buying.actions import add_supplier
from shopapp.lumber.models import Delivery, Supplier
from shopapp.lumber.stock.buying import book_deliveries
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from .deliveries import Bundle

_OF_SUPPLIER = ("name", "rule", "thin_as_inch", "tax", "tax_included")


def bring_in(*, who: Member, bundles: Sequence[Bundle], spend: Callable[[], None] = lambda: None) -> list[Delivery]:
    """Book every delivery of a table. Raises PlannerError when one cannot be, and then none is."""
    owner_only(who)
    with transaction.atomic():
        spend()
        made: dict[str, Supplier] = {}
        for bundle in bundles:
            new = bundle.facts.supplier
            if new.pk is None and new.name not in made:
                made[new.name] = add_supplier(who=who, values={name: getattr(new, name) for name in _OF_SUPPLIER})
        return book_deliveries(
            who=who,
            deliveries=[
                (
                    replace(b.facts, supplier=made.get(b.facts.supplier.name, b.facts.supplier)),
                    [row.bought for row in b.rows],
                )
                for b in bundles
            ],
        )
