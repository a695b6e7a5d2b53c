"""Changes of a design as a whole: a drawing added to it, put out of sight, brought back."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.db import transaction
from django.db.models import Max

from shopapp.common.actions import bump_version, write_audit
from shopapp.people.models import Member

from .models import Design, PatternVersion
from .planning import Pattern


def add_drawing(
    *,
    who: Member | None,
    design: Design,
    pattern: Pattern,
    made: str,
    name: str = "",
    parent: PatternVersion | None = None,
    choices: Mapping[str, object] | None = None,
    spend: Callable[[], None] = lambda: None,
) -> PatternVersion:
    """Keep a pattern as the design's next drawing, ``made`` one of PatternVersion.MADE, from ``parent`` if it
    was changed from one. Drawings are never edited: whoever keeps a second one from the same parent branches."""
    with transaction.atomic():
        spend()
        design = Design.objects.select_for_update().get(pk=design.pk)
        last = design.versions.aggregate(Max("number"))["number__max"] or 0
        version = PatternVersion.objects.create(
            design=design,
            number=last + 1,
            name=name,
            parent=parent,
            made=made,
            kept_by=who,
            pattern=pattern.to_text(),
            height=pattern.height,
            width=pattern.width,
            choices=dict(choices or {}),
        )
        bump_version(design)
        write_audit(who, f"Drawing {version.number} of {design.name} was kept.", design)
    return version


def set_aside_design(*, who: Member, design: Design, aside: bool, spend: Callable[[], None] = lambda: None) -> None:
    """Put a design out of sight, or bring it back. Its kept plans stay."""
    with transaction.atomic():
        spend()
        design = Design.objects.select_for_update().get(pk=design.pk)
        design.set_aside = aside
        design.save(update_fields=["set_aside", "changed_at"])
        bump_version(design)
        write_audit(who, f"{design.name} was {'set aside' if aside else 'brought back'}.", design)
