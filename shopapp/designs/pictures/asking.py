"""The question whose a picture is, asked on the way to quoting or listing a board of it; the way goes on when it is
answered."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.designs.models import Design

from . import rights
from .forms import AnswerForm, RightsForm


def ask_first(request: HttpRequest, design: Design, purpose: str, *, onward: str) -> HttpResponse | None:
    """The page that asks, or the way back to the same address once it is answered; None where nothing is to be asked
    (``purpose`` "quote" or "list"). ``onward`` stands on its button."""
    question = rights.question_before(design, purpose)
    # A second press on the answer comes after the question is settled.
    answering = request.method == "POST" and request.POST.get("purpose") == purpose
    if question is None and not answering:
        return None
    form = _form(design, request.POST if answering else None)
    conflict_rows = None
    if answering and form.is_valid():
        try:
            rights.answer_rights(
                who=request.user,
                design=design,
                purpose=purpose,
                rights=form.cleaned_data["rights"],
                note=form.note,
                seen_version=form.seen_version,
                spend=form.spend,
            )
        except AlreadySent:
            return redirect(request.get_full_path())
        except EditConflict as conflict:
            conflict_rows = form.against(_form(conflict.current, None))
        else:
            messages.success(request, "The answer is kept.")
            return redirect(request.get_full_path())
    context = {
        "design": design,
        "question": question,
        "purpose": purpose,
        "onward": onward,
        "form": form,
        "conflict": conflict_rows is not None,
        "conflict_rows": conflict_rows,
    }
    status = 422 if form.errors else 200 if conflict_rows is None else 409
    return render(request, "designs/asked_first.html", context, status=status)


def _form(design: Design, data) -> AnswerForm:
    return AnswerForm(data, initial=RightsForm.initial_of(design), edit_version=design.edit_version)
