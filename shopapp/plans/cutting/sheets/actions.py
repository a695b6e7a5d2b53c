"""Asking the worker for the marking-out sheets of a kept cut plan."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from shopapp.common.actions import write_audit
from shopapp.common.documents import make_once
from shopapp.common.tasks import background, enqueue
from shopapp.people.models import Member
from shopapp.plans.models import CutPaper, CutSheet


def ask_for_paper(*, who: Member | None, sheet: CutSheet, spend: Callable[[], None] = lambda: None) -> CutPaper:
    """Have the worker make the sheets, or make them again after a failure; those that stand stay."""
    with transaction.atomic():
        spend()
        paper, _ = CutPaper.objects.select_for_update().get_or_create(sheet=sheet)
        if paper.document_id is None:
            paper.task = enqueue(make_paper, sheet.pk)
            paper.save(update_fields=["task"])
            write_audit(who, f"The marking-out sheets for {sheet.label} were asked for.", sheet)
    return paper


@background(name="make marking-out sheets")
def make_paper(sheet_id: int) -> None:
    """The worker's part: render the paper of a kept cut plan, write the file, then record it."""
    from .paper import marking_sheets_pdf

    sheet = CutSheet.objects.select_related("plan").get(pk=sheet_id)
    papers = CutPaper.objects.filter(sheet=sheet)
    make_once(papers, lambda: marking_sheets_pdf(sheet), f"Marking-out sheets, {sheet.label}")
