"""Asking the worker for a year on paper."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable

from django.db import transaction
from django.utils import timezone

from shopapp.books.asking import begins
from shopapp.books.models import YearPaper
from shopapp.books.pages import Read
from shopapp.books.period import Period
from shopapp.common.actions import write_audit
from shopapp.common.documents import make_once, paper_states
from shopapp.common.tasks import TaskState, background, enqueue, task_state
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.plans.models import canonical
from shopapp.workshop.readers import the_workshop

from .said import said


def ask_for_year(
    *, who: Member | None, year: int, sheet: str, spend: Callable[[], None] = lambda: None
) -> YearPaper:  # fmt: skip
    """Have the worker make the year's paper as the books stand now, or again after a failure. One that says the same,
    and stands or is being made, is the answer."""
    owner_only(who)
    shop, today = the_workshop(), timezone.localdate()
    says = said(Read(shop, Period(year, begins=begins()), today), shop, today)
    text = canonical(says)
    sha256 = hashlib.sha256(text.encode()).hexdigest()
    with transaction.atomic():
        spend()
        about = {"year": year, "says": text, "asked_by": who}
        paper, _ = YearPaper.objects.get_or_create(sheet=sheet, sha256=sha256, defaults=about)
        paper = YearPaper.objects.select_for_update(of=("self",)).get(pk=paper.pk)
        if paper.document_id is None and task_state(paper.task).word not in ("waiting", "working"):
            paper.task = enqueue(make_year, paper.pk)
            paper.save(update_fields=["task"])
            write_audit(who, f"{paper} were asked for on paper.", paper)
    return paper


def papers_of(year: int) -> list[tuple[YearPaper, TaskState]]:
    """The newest of a year on each sheet, and how far it is. Two queries at most."""
    newest: dict[str, YearPaper] = {}
    for paper in YearPaper.objects.filter(year=year).defer("says").order_by("pk"):
        newest[paper.sheet] = paper
    papers = sorted(newest.values(), key=lambda one: one.sheet)
    return list(zip(papers, paper_states(papers, "The paper was not made. Ask for it again."), strict=True))


@background(name="make a year’s paper")
def make_year(paper_pk: int) -> None:
    """The worker's part: render what was frozen, write the file, then record it."""
    from .sheet import year_pdf

    paper = YearPaper.objects.get(pk=paper_pk)
    make_once(YearPaper.objects.filter(pk=paper.pk), lambda: year_pdf(paper), json.loads(paper.says)["title"])
