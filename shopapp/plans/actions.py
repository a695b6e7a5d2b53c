"""Keeping a plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal

from django.core.exceptions import PermissionDenied
from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.designs.models import PatternVersion
from shopapp.people.models import Member
from shopapp.workshop.models import Workshop

from . import planning
from .methods import planning as methods_planning
from .models import MOST_MINUTES, MOST_PRICE, Plan, canonical, fingerprint


def keep_plan(
    *,
    who: Member | None,
    version: PatternVersion,
    board: Mapping,
    workshop: Workshop,
    spend: Callable[[], None] = lambda: None,
) -> Plan:
    """Freeze a reckoning as a plan. Raises PlannerError when the board cannot be made as asked."""
    if who is not None and not who.is_owner:
        raise PermissionDenied
    inputs, record = planning.reckon_board(version, board, workshop)
    record = {**record, "methods": methods_planning.kept(version, board, workshop)}
    given, result = canonical(inputs), canonical(record)
    hours = record["figures"]["hours"]["value"][1]
    price = record["figures"].get("price")
    minutes = planning.whole_minutes(hours)
    _check_sizes(price["value"][1] if price else "0", minutes)
    with transaction.atomic():
        spend()
        plan = Plan.objects.create(
            design=version.design,
            version=version,
            title=f"{version.design.name}, drawing {version.number}",
            kept_by=who,
            planner_version=planning.PLANNER_VERSION,
            inputs=given,
            result=result,
            sha256=fingerprint(given, result),
            price=price["value"][1] if price else None,
            minutes=minutes,
            currency_symbol=record["currency"]["symbol"],
            currency_exponent=record["currency"]["exponent"],
        )
        write_audit(who, f"A plan of {plan.title} was kept.", plan)
    return plan


def _check_sizes(price: str, minutes: int) -> None:
    if Decimal(price) > MOST_PRICE or minutes > MOST_MINUTES:
        raise PlannerError(
            "A price or hours so large cannot be kept.",
            mend="Look at what an hour is worth and how long each kind of work takes in the workshop's settings.",
        )
