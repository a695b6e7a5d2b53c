"""The pages of a fair ask the database as often with many pieces as with few."""

from __future__ import annotations

from django.urls import reverse

from tests.rules.test_query_counts import queries
from tests.support import work
from tests.support.fairs import fair, packed, tapped
from tests.support.pieces import piece

PAGES = ("listings:fair", "listings:fair_till", "listings:fair_pack", "listings:fair_costs")


def test_a_fair_s_pages_take_a_fixed_number_of_queries(owner, owner_client):
    found = fair(owner)

    def fill(*labels: str) -> None:
        there, gone, _ = packed(owner, found, *labels)
        tapped(owner, found, gone)
        work.listing(owner, there.job)
        piece(owner, label="Otter")

    def counts() -> list[int]:
        return [queries(owner_client, reverse(page, args=[found.pk])) for page in PAGES]

    fill("Heron", "Lantern", "Teasel")
    few = counts()
    for n in range(2):
        fill(f"Heron {n}", f"Lantern {n}", f"Teasel {n}")
    assert counts() == few and max(few) <= 18
