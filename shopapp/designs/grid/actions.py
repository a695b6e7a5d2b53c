"""A grid confirmed, corrected or reduced, kept as the design's next one. Drawings of older grids stay as they are."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from django.db import transaction
from django.db.models import Max

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, bump_version, check_version, was_spent, write_audit
from shopapp.common.images import store_image
from shopapp.common.models import StoredImage
from shopapp.designs.models import Design, KeptGrid
from shopapp.people.models import Member

from . import planning
from .readers import Corrected, in_one_sentence


def keep_corrected(
    *, who: Member, now: Corrected, seen_version: int, form_key: str = "", spend: Callable[[], None] = lambda: None
) -> KeptGrid:
    """Keep the grid as it lies on the picture now. Raises PlannerError in words, or EditConflict."""
    base, place = now.place.base, now.place
    made = place.made
    if now.sources.number and made == "read":
        # Corrections that cancel out leave the grid as it had come about before.
        made = now.sources.made
    where = {
        "lattice": place.lattice.as_record(),
        "lines": base.lines,
        "from": now.sources.number,
        "steps": now.line,
        "taps": [list(tap) for tap in place.taps],
    }
    if base.fixed:
        where["reduction"] = _reduction_before(now)
    return _keep(
        who=who,
        design=now.sources.design,
        png=now.png,
        stored=base.image if now.place.is_untouched else None,
        made=made,
        place=where,
        changes=place.words(),
        seen_version=seen_version,
        form_key=form_key,
        spend=spend,
    )


def _reduction_before(now: Corrected) -> object:
    kept = KeptGrid.objects.get(design=now.sources.design, number=now.sources.number)
    return kept.place["reduction"]


def keep_reduced(
    *,
    who: Member,
    design: Design,
    reduction: Mapping[str, object],
    place: Mapping[str, object],
    png: bytes,
    changes: Sequence[str],
    seen_version: int,
    form_key: str = "",
    spend: Callable[[], None] = lambda: None,
) -> KeptGrid:
    """Keep a grid that a picture was reduced to. Raises PlannerError in words, or EditConflict."""
    return _keep(
        who=who,
        design=design,
        png=png,
        stored=None,
        made="reduced",
        place={"lattice": dict(place), "reduction": dict(reduction)},
        changes=changes,
        seen_version=seen_version,
        form_key=form_key,
        spend=spend,
    )


def _keep(
    *,
    who: Member,
    design: Design,
    png: bytes,
    stored: StoredImage | None,
    made: str,
    place: Mapping[str, object],
    changes: Sequence[str],
    seen_version: int,
    form_key: str,
    spend: Callable[[], None],
) -> KeptGrid:
    if not planning.grid_of(png).filled.any():
        raise PlannerError(
            "Every square is background now, so nothing would be left to lay.",
            mend="Bring at least one square back.",
        )
    if form_key and was_spent(form_key):
        # Said before a file is written that no row would name.
        raise AlreadySent
    # The file first and whole, then its row, then the grid that names it.
    grid = stored or store_image(png, purpose="grid")
    with transaction.atomic():
        spend()
        design = Design.objects.select_for_update().get(pk=design.pk)
        check_version(design, seen_version)
        last = design.grids.aggregate(Max("number"))["number__max"] or 0
        kept = KeptGrid.objects.create(
            design=design,
            number=last + 1,
            kept_by=who,
            made=made,
            grid=grid,
            place=dict(place),
            changes=list(changes),
        )
        design.grid, design.trouble = grid, ""
        design.save(update_fields=["grid", "trouble", "changed_at"])
        bump_version(design)
        said = in_one_sentence(changes) or "As it was read."
        write_audit(who, f"Grid {kept.number} of {design.name} was kept. {said}", design)
    return kept
