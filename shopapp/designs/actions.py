"""Every change of a design: a picture brought, read, given woods, set aside."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.db.models import Max

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, write_audit
from shopapp.common.images import drop_incoming, drop_old_incoming, incoming_bytes, keep_upload, store_image
from shopapp.common.tasks import background, enqueue, task_state
from shopapp.people.models import Member

from . import planning
from .models import Design, PatternVersion


def bring_picture(*, who: Member, name: str, upload: UploadedFile, spend: Callable[[], None] = lambda: None) -> Design:
    """Keep the upload as it came, privately, and ask the worker to read it."""
    incoming = keep_upload(upload)
    try:
        with transaction.atomic():
            spend()
            design = Design.objects.create(name=name, incoming=incoming)
            write_audit(who, f"{name} was brought as a picture.", design)
            # In the same transaction: no design ever waits for a reading nobody was asked for.
            design.reading_task = enqueue(read_design, design.pk)
            design.save(update_fields=["reading_task"])
    except BaseException:
        # Sent twice, or the database refused: bytes that no design names are not left lying.
        drop_incoming(incoming)
        raise
    return design


@background(name="read a picture")
def read_design(design_id: int) -> None:
    """The worker's part: decode, read the grid, store clean copies, and drop the bytes as they came."""
    design = Design.objects.get(pk=design_id)
    if not design.awaits_reading:
        return
    try:
        picture = planning.read(incoming_bytes(design.incoming))
    except PlannerError as error:
        _finish_reading(design, trouble=str(error))
        return
    original = store_image(picture.original_png, purpose="original")
    grid = store_image(picture.grid_png, purpose="grid")
    _finish_reading(design, original=original, grid=grid, reading=picture.seen)


def _finish_reading(design: Design, **found: object) -> None:
    incoming = design.incoming
    with transaction.atomic():
        # Only while it waits: of two who read it at once, after a worker was given up too soon, the first holds.
        Design.objects.filter(pk=design.pk, grid=None, trouble="").update(incoming="", **found)
    drop_incoming(incoming)


def tidy_readings() -> None:
    """Give up pictures whose reading ended for good without a word of its own, and drop uploads nobody waits for."""
    for design in Design.objects.filter(grid=None, trouble="").exclude(incoming=""):
        state = task_state(design.reading_task)
        if state.word in ("failed", "unknown"):
            _finish_reading(design, trouble=state.message or "The reading was lost. Bring the picture again.")
    drop_old_incoming(set(Design.objects.exclude(incoming="").values_list("incoming", flat=True)))


def keep_pattern(
    *,
    who: Member | None,
    design: Design,
    choices: Sequence[str],
    margin: int,
    grid_png: bytes,
    spend: Callable[[], None] = lambda: None,
) -> PatternVersion:
    """Keep the woods chosen for a design's colours as its next drawing. Raises PlannerError in words."""
    grid = planning.StoredGrid(grid_png)
    pattern = grid.pattern(choices, margin)
    with transaction.atomic():
        spend()
        design = Design.objects.select_for_update().get(pk=design.pk)
        last = design.versions.aggregate(Max("number"))["number__max"] or 0
        version = PatternVersion.objects.create(
            design=design,
            number=last + 1,
            kept_by=who,
            pattern=pattern.to_text(),
            height=pattern.height,
            width=pattern.width,
            choices={"woods": list(choices), "margin": margin},
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
