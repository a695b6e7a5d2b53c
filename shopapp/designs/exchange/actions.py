"""A pattern brought in, as a design of its own or as another drawing of one."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from shopapp.common.actions import write_audit
from shopapp.designs.actions import add_drawing
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.planning import Pattern, check_woods
from shopapp.lumber.planning import looks_on_hand
from shopapp.people.models import Member


def bring_pattern(
    *,
    who: Member,
    pattern: Pattern,
    name: str,
    design: Design | None = None,
    spend: Callable[[], None] = lambda: None,
) -> PatternVersion:
    """Keep a pattern that was brought in: as the next drawing of ``design``, named ``name``, or without one as the
    first drawing of a new design of that name. Raises PlannerError when it could not be laid."""
    check_woods(pattern, looks_on_hand())
    with transaction.atomic():
        spend()
        if design is not None:
            return add_drawing(who=who, design=design, pattern=pattern, made="brought", name=name)
        design = Design.objects.create(name=name, source="pattern")
        write_audit(who, f"{name} was brought in as a pattern.", design)
        return add_drawing(who=who, design=design, pattern=pattern, made="brought")
