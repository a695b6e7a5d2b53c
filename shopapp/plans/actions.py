"""Keeping a plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal

from django.core.exceptions import PermissionDenied
from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.designs.actions import add_drawing
from shopapp.designs.models import PatternVersion
from shopapp.designs.planning import Pattern
from shopapp.lumber.planning import WOODS
from shopapp.people.models import Member
from shopapp.workshop.models import Workshop

from . import otherwoods, planning
from .methods import planning as methods_planning
from .models import MOST_MINUTES, MOST_PRICE, Plan, canonical, fingerprint

# What a drawing's name holds.
_LONGEST_NAME = 60


def keep_plan(
    *,
    who: Member | None,
    version: PatternVersion,
    board: Mapping,
    workshop: Workshop,
    laid: Mapping[str, str] | None = None,
    spend: Callable[[], None] = lambda: None,
) -> Plan:
    """Freeze a reckoning as a plan. With woods ``laid`` for others the drawing is kept in them first, as the design's
    next, and the plan is of that. Raises PlannerError when the board cannot be made as asked."""
    if who is not None and not who.is_owner:
        raise PermissionDenied
    drawn = otherwoods.drawing_in(version, laid or {})
    inputs, record = planning.reckon_board(drawn, board, workshop)
    record = {**record, "methods": methods_planning.kept(drawn, board, workshop)}
    given, result = canonical(inputs), canonical(record)
    hours = record["figures"]["hours"]["value"][1]
    price = record["figures"].get("price")
    minutes = planning.whole_minutes(hours)
    _check_sizes(price["value"][1] if price else "0", minutes)
    with transaction.atomic():
        spend()
        if laid:
            version = _keep_drawing(who, version, laid)
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


def _keep_drawing(who: Member | None, version: PatternVersion, laid: Mapping[str, str]) -> PatternVersion:
    names = {wood: WOODS[wood].name for wood in {*laid, *laid.values()} if wood in WOODS}
    return add_drawing(
        who=who,
        design=version.design,
        pattern=otherwoods.laid_in(Pattern.from_text(version.pattern), laid),
        made="bench",
        name=otherwoods.in_words(laid, names)[:_LONGEST_NAME],
        parent=version,
    )


def _check_sizes(price: str, minutes: int) -> None:
    if Decimal(price) > MOST_PRICE or minutes > MOST_MINUTES:
        raise PlannerError(
            "A price or hours so large cannot be kept.",
            mend="Look at what an hour is worth and how long each kind of work takes in the workshop's settings.",
        )
