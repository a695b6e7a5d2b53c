"""A plan, a rack it can be cut from, and the search for how."""

from __future__ import annotations

from django.urls import reverse

from planner.measures import Length
from shopapp.lumber.models import StockPiece
from shopapp.plans.actions import keep_plan
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import Plan
from shopapp.workshop.readers import the_workshop
from tests.support.rack import boards
from tests.support.shop import add_woods, board, design_with_pattern

WOODS = ("sycamore", "walnut-black", "birch-yellow", "padauk")


# Small enough that a search tries everything within a second or two.
SMALL = """
.kr.
.ky.
"""


def plan_and_rack(owner, drawing: str = SMALL, *, each: int = 2, long: int = 600, **asked) -> Plan:
    """A kept plan of a drawing, and ``each`` boards of 27 by 150 mm, ``long`` mm long, of each of its woods."""
    add_woods(*WOODS)
    design = design_with_pattern(owner, drawing)
    for wood in WOODS:
        boards(owner, each, wood=wood, length=Length.of_mm(long))
    return keep_plan(who=owner, version=design.versions.get(), board=board(**asked), workshop=the_workshop())


def cutting(plan: Plan, **changes) -> Cutting:
    return Cutting(
        **{
            "label": plan.title,
            "key": f"plan {plan.pk}",
            "plan": plan,
            "home": plan.get_absolute_url(),
            "home_words": plan.title,
            "to": lambda name, *args: reverse(f"plans:{name}", args=[plan.pk, *args]),
            **changes,
        }
    )


def piece(wood: str, **changes) -> StockPiece:
    return StockPiece.objects.filter(wood=wood, **changes).order_by("pk").first()
