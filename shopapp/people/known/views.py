"""The book of people: the list, one of them, what is held of them, and erasing them. The owner's alone."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict, spend_key, was_spent
from shopapp.people.book import held_of, history_of, kept_of, would_go
from shopapp.people.choosing import who_may_be_meant
from shopapp.people.loose import loose_rows, take_up
from shopapp.people.models import Person
from shopapp.people.permissions import owner_required

from . import actions, readers
from .erasing import AGAIN, erase_person
from .forms import EraseForm, PersonForm
from .out import file_of, lines_of

NEWEST = 100


@require_GET
@owner_required
def people(request: HttpRequest) -> HttpResponse:
    """Everybody, or who is looked for; as one types, the list alone."""
    asked = request.GET.get("find", "")[:120]
    page = Paginator(readers.found(asked), readers.A_PAGE).get_page(request.GET.get("page"))
    context = {"asked": asked, "page": page, "query": f"{urlencode({'find': asked})}&" if asked else ""}
    return render(request, "people/known/_list.html" if request.htmx else "people/known/people.html", context)


@require_GET
@owner_required
def choose(request: HttpRequest) -> HttpResponse:
    """Who may be meant by what stands in the field of a form that is named by ``as``."""
    name = request.GET.get("as", "")
    if not name.replace("_", "").replace("-", "").isalnum() or len(name) > 40:
        name = "person"
    context = {"name": name, "meant": who_may_be_meant(request.GET.get(name, "")[:120])}
    return render(request, "people/found.html", context)


def _person(pk: int) -> Person:
    return get_object_or_404(Person.objects.prefetch_related("ways", "erasures__who"), pk=pk)


@require_GET
@owner_required
def person(request: HttpRequest, pk: int) -> HttpResponse:
    row = _person(pk)
    if row.erased_at is not None:
        # What had to stay then may go now, or later.
        again = any(erasure.kept for erasure in list(row.erasures.all())[-1:])
        return render(request, "people/known/erased.html", {"person": row, "kept": kept_of(row), "again": again})
    history = history_of(row)
    context = {"person": row, "history": history[:NEWEST], "more": len(history) - NEWEST, "loose": loose_rows(row)}
    return render(request, "people/known/person.html", context)


@require_POST
@owner_required
def take(request: HttpRequest, pk: int) -> HttpResponse:
    """A row that has the person's name and nobody behind it is theirs."""
    row = _person(pk)
    key, spend = request.POST.get("row", ""), lambda: spend_key(request.POST.get("form_key", ""))
    try:
        words = take_up(who=request.user, person=row, key=key, spend=spend)
    except AlreadySent:
        messages.info(request, "That was already said.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"It is theirs: {words}")
    return redirect(row)


@require_http_methods(["GET", "POST"])
@owner_required
def new(request: HttpRequest) -> HttpResponse:
    sent = request.POST if request.method == "POST" else None
    form = PersonForm(sent, initial={"name": request.GET.get("name", "")[:80]})
    alike = []
    if sent is not None and form.is_valid():
        # Sent twice, whoever was written down the first time is there already.
        if "another" not in sent and not was_spent(form.fresh_key()):
            alike = readers.named_alike(form.cleaned_data["name"])
        if alike:
            words = f"{alike[0].name} is in the book already. Open their row, or tick below that this is somebody else."
            form.add_error("name", words)
        else:
            try:
                made = actions.add_person(who=request.user, written=form.written(), spend=form.spend)
            except AlreadySent:
                messages.info(request, "That was already written down; it is in the book once.")
                return redirect("people:people")
            messages.success(request, f"{made.name} is in the book.")
            return redirect(made)
    context = {"form": form, "alike": [(row, readers.hint_of(row)) for row in alike[: readers.MOST_FOUND]]}
    return render(request, "people/known/new.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@owner_required
def change(request: HttpRequest, pk: int) -> HttpResponse:
    row = _person(pk)
    if row.erased_at is not None:
        return redirect(row)
    form = PersonForm.of(row, request.POST if request.method == "POST" else None)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_person(
                who=request.user, person=row, written=form.written(), seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect(row)
        except EditConflict as clash:
            form, conflict_rows = _both(clash.current, request.POST)
        except PlannerError as error:
            messages.error(request, str(error))
            return redirect(row)
        else:
            messages.success(request, f"{form.cleaned_data['name']} is kept as it is now.")
            return redirect(row)
    conflict = conflict_rows is not None
    context = {"person": row, "form": form, "conflict": conflict, "conflict_rows": conflict_rows}
    return render(request, "people/known/change.html", context, status=422 if form.errors else 409 if conflict else 200)


def _both(stands: Person, sent) -> tuple[PersonForm, list]:
    """What was typed, and where it differs from what stands now; with a row for every way of both."""
    now = PersonForm.of(stands)
    mine = PersonForm.of(stands, sent, rows=now.rows)
    mine.is_valid()
    return mine, mine.against(PersonForm.of(stands, rows=mine.rows))


@require_GET
@owner_required
def held(request: HttpRequest, pk: int) -> HttpResponse:
    row = _person(pk)
    return render(request, "people/known/held.html", {"person": row, "apps": lines_of(held_of(row))})


@require_GET
@owner_required
def held_file(request: HttpRequest, pk: int) -> HttpResponse:
    row = _person(pk)
    headers = {"Content-Disposition": f'attachment; filename="person-{row.pk}.json"', "Cache-Control": "no-store"}
    return HttpResponse(file_of(held_of(row)), content_type="application/json; charset=utf-8", headers=headers)


@require_http_methods(["GET", "POST"])
@owner_required
def erase(request: HttpRequest, pk: int) -> HttpResponse:
    row = _person(pk)
    first = row.erased_at is None
    form = EraseForm(request.POST if request.method == "POST" else None, name=row.name if first else AGAIN)
    if request.method == "POST" and form.is_valid():
        try:
            erase_person(who=request.user, person=row, typed=form.cleaned_data["typed"], spend=form.spend)
        except AlreadySent:
            return redirect(row)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, "It is done: what could go is destroyed.")
            return redirect(row)
    context = {"person": row, "form": form, "first": first, "goes": would_go(row), "kept": kept_of(row)}
    return render(request, "people/known/erase.html", context, status=422 if form.errors else 200)
