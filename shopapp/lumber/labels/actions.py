"""Labels asked for, and made by the worker."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.documents import make_once
from shopapp.common.tasks import background, enqueue
from shopapp.lumber.models import LabelSheet, StockPiece
from shopapp.people.models import Member

from .papers import Paper
from .sheet import address_of, code_is_readable

MOST_LABELS = 600


def ask_for_labels(
    *,
    who: Member | None,
    pieces: Sequence[StockPiece],
    paper: Paper,
    first: int,
    address: str,
    spend: Callable[[], None] = lambda: None,
) -> LabelSheet:
    """Have the worker make labels of ``pieces`` in their order, beginning with the ``first`` label of the sheet."""
    if not pieces:
        raise PlannerError("No piece is ticked.", mend="Tick at least one.")
    if len(pieces) > MOST_LABELS:
        raise PlannerError(f"More than {MOST_LABELS} labels are asked for.", mend="Make them in two goes.")
    if first > paper.a_sheet:
        raise PlannerError(
            f"This paper has {paper.a_sheet} labels a sheet.", mend="Begin at one of them.", field="first"
        )
    longest = max((address_of(piece, address) for piece in pieces), key=len)
    if not code_is_readable(paper.checked(), longest):
        raise PlannerError(
            "These labels are too small for a code that a phone can read.",
            mend="Take larger labels, or a shorter address of this shop.",
            field="height",
        )
    with transaction.atomic():
        spend()
        sheet = LabelSheet.objects.create(
            asked_by=who, pieces=[p.pk for p in pieces], paper=paper.as_json(), first=first, address=address
        )
        sheet.task = enqueue(make_labels, sheet.pk)
        sheet.save(update_fields=["task"])
        count = f"{len(pieces)} label{'s' * (len(pieces) != 1)}"
        write_audit(who, f"{count} {'was' if len(pieces) == 1 else 'were'} asked for.", sheet)
    return sheet


@background(name="make labels")
def make_labels(sheet_id: int) -> None:
    """The worker's part: render the labels, write the file, then record it."""
    from .sheet import labels_pdf

    sheet = LabelSheet.objects.get(pk=sheet_id)
    make_once(LabelSheet.objects.filter(pk=sheet.pk), lambda: labels_pdf(sheet), str(sheet))
