"""A box of shorts at Reedbank Workshop, and a plan small enough to come out of it. Everything is invented."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from planner.measures import Length
from shopapp.designs.models import Design
from shopapp.lumber.models import Supplier
from shopapp.lumber.stock.buying import BoughtLine, DeliveryFacts, book_delivery
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.readers import first_board
from shopapp.workshop.models import Workshop

# Wood, thickness in quarters, width and length in mm, pieces alike, price of a piece. One is too short for any machine
# of the shop, and the birch is narrow.
SHORTS = (
    ("sycamore", 5, 160, 590, 4, "5.00"),
    ("walnut-black", 5, 142, 560, 2, "8.50"),
    ("walnut-black", 5, 120, 280, 1, "2.00"),
    ("sapele", 5, 120, 480, 1, "3.00"),
    ("padauk", 5, 131, 430, 1, "7.00"),
    ("beech", 5, 110, 520, 1, "2.00"),
    ("birch-yellow", 5, 60, 410, 1, "1.50"),
)


def fill_shorts(who: Member, workshop: Workshop) -> None:
    lines = [
        BoughtLine(
            wood=wood,
            thickness=Length.of_inches(f"{quarters}/4"),
            width=Length.of_mm(width),
            length=Length.of_mm(length),
            count=count,
            price=Decimal(price),
            per="piece",
            place="box by the saw",
        )
        for wood, quarters, width, length, count, price in SHORTS
    ]
    facts = DeliveryFacts(Supplier.objects.get(), timezone.localdate() - timedelta(days=2), reference="a box of shorts")
    book_delivery(who=who, facts=facts, lines=lines)
    version = Design.objects.get(name="Kingfisher").versions.get()
    keep_plan(who=who, version=version, board=first_board(workshop, version), workshop=workshop)
