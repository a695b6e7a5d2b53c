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


def plan_and_rack(owner, *, each: int = 2, woods=WOODS, **asked) -> Plan:
    """A kept plan of the little flag, and ``each`` boards of 27 by 150 by 2000 mm of each of its woods."""
    add_woods(*WOODS)
    design = design_with_pattern(owner)
    for wood in woods:
        boards(owner, each, wood=wood)
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


def mm(value: int) -> Length:
    return Length.of_mm(value)
