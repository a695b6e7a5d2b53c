"""What `manage.py verify` asks of the consumables: each is the sum of its entries, and each entry follows the last."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal

from shopapp.lumber.models import Supply, SupplyEntry


def supplies_that_are_not_their_entries() -> list[str]:
    amounts: dict[int, Decimal] = defaultdict(Decimal)
    worths: dict[int, Decimal] = defaultdict(Decimal)
    faults = []
    for entry in SupplyEntry.objects.order_by("pk").iterator():
        amounts[entry.supply_id] += entry.amount
        worths[entry.supply_id] += entry.worth
        if (amounts[entry.supply_id], worths[entry.supply_id]) != (entry.amount_after, entry.worth_after):
            faults.append(f"Entry {entry.pk} of consumable {entry.supply_id} does not follow the one before it.")
    for supply in Supply.objects.iterator():
        if (supply.amount, supply.worth) != (amounts[supply.pk], worths[supply.pk]):
            faults.append(
                f"{supply.name}: {supply.amount} worth {supply.worth} stand in the book, its entries come to "
                f"{amounts[supply.pk]} worth {worths[supply.pk]}."
            )
    return faults
