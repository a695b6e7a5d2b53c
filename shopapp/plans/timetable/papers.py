"""The cards of a kept timetable on paper: asked for, rendered by the worker, waited for and opened."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from shopapp.common.actions import AlreadySent, spend_key, write_audit
from shopapp.common.documents import make_once, paper_state, pdf_answer
from shopapp.common.tasks import background, enqueue
from shopapp.people.models import Member
from shopapp.plans.models import KeptTimetable, TimetablePaper

from .wanted import Making

_STYLES = ("paper.css", "evenings_paper.css")
_NOT_MADE = "The cards were not made. Ask for them again."


def paper_context(making: Making, kept: KeptTimetable) -> dict[str, object]:
    """What ``plans/timetable/_paper.html`` needs."""
    return {
        "cards_paper": paper_state(TimetablePaper.objects.filter(timetable=kept).first(), _NOT_MADE),
        "to_paper": making.to("timetable_paper", kept.pk),
        "to_paper_state": making.to("timetable_paper_state", kept.pk),
        "to_paper_pdf": making.to("timetable_pdf", kept.pk),
    }


def paper(request: HttpRequest, making: Making, made_pk: int) -> HttpResponse:
    """POST: have the cards made; back to the timetable's own page."""
    found = _kept(making, made_pk)
    try:
        ask_for_paper(who=request.user, kept=found, spend=lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        messages.info(request, "The cards were already asked for.")
    return redirect(making.to("timetable_kept", found.pk))


def state(request: HttpRequest, making: Making, made_pk: int) -> HttpResponse:
    """What the waiting page asks every second; it never starts anything."""
    return render(request, "plans/timetable/_paper.html", paper_context(making, _kept(making, made_pk)))


def pdf(request: HttpRequest, making: Making, made_pk: int) -> HttpResponse:
    found = _kept(making, made_pk)
    made = getattr(found, "paper", None)
    return pdf_answer(made and made.document, f"cards-{found.pk}.pdf", "This timetable has no cards on paper yet.")


def _kept(making: Making, made_pk: int) -> KeptTimetable:
    rows = KeptTimetable.objects.select_related("paper__document").defer("form")
    return get_object_or_404(rows, pk=made_pk, key__in=making.keys)


def ask_for_paper(
    *, who: Member | None, kept: KeptTimetable, spend: Callable[[], None] = lambda: None
) -> TimetablePaper:
    """Have the worker make the cards, or make them again after a failure; those that stand stay."""
    with transaction.atomic():
        spend()
        asked, _ = TimetablePaper.objects.select_for_update().get_or_create(timetable=kept)
        if asked.document_id is None:
            asked.task = enqueue(make_paper, kept.pk)
            asked.save(update_fields=["task"])
            write_audit(who, f"The cards of the timetable for {kept.label} were asked for.", kept)
    return asked


@background(name="make the cards of a timetable")
def make_paper(kept_pk: int) -> None:
    """The worker's part: render the cards, write the file, then record it."""
    from shopapp.common.paper import pdf_of

    kept = KeptTimetable.objects.get(pk=kept_pk)
    papers = TimetablePaper.objects.filter(timetable=kept)
    make_once(papers, lambda: pdf_of(cards_html(kept)), f"Cards, {kept.label}")


def cards_html(kept: KeptTimetable) -> str:
    """The page the paper is laid out from; nothing on it is worked out but dates."""
    from shopapp.common.paper import font_faces
    from shopapp.workshop.readers import the_workshop

    from .readers import seen_of

    styles = settings.BASE_DIR / "static" / "css"
    context = {
        "found": kept,
        "shop": the_workshop(),
        "seen": seen_of(kept.form, kept.first, kept.wishes, kept.advice),
        "fonts": font_faces(),
        "style": mark_safe("\n".join((styles / name).read_text() for name in _STYLES)),
    }
    return render_to_string("plans/timetable/evenings_paper.html", context)
