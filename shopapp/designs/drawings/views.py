"""A drawing by itself, its name, and two drawings compared."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.designs.models import PatternVersion
from shopapp.designs.views import design_in_view

from . import actions, readers
from .forms import NameForm


def drawing_or_404(pk: int, number: int) -> PatternVersion:
    version = readers.drawing_of(design_in_view(pk), number)
    if version is None:
        raise Http404("This design has no drawing of that number.")
    return version


@require_GET
def drawing(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    version = drawing_or_404(pk, number)
    form = NameForm(initial={"name": version.name, "was": version.name})
    return render(request, "designs/drawing.html", {**readers.drawing_page(version), "form": form})


@require_POST
def rename(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    version = drawing_or_404(pk, number)
    form = NameForm(request.POST)
    if form.is_valid():
        name, was = form.cleaned_data["name"], form.cleaned_data["was"]
        try:
            actions.rename_drawing(who=request.user, version=version, name=name, was=was, spend=form.spend)
        except AlreadySent:
            messages.info(request, "It was already named.")
            return redirect(version)
        except EditConflict as conflict:
            stands = f"“{conflict.current.name}”" if conflict.current.name else "nothing but its number"
            form.add_error("name", f"Meanwhile it was named {stands}. Name it once more to put yours in its place.")
            form.data = {**form.data.dict(), "was": conflict.current.name}
        else:
            messages.success(request, f"It is {version.title} now.")
            return redirect(version)
    return render(request, "designs/drawing.html", {**readers.drawing_page(version), "form": form}, status=422)


@require_GET
def difference(request: HttpRequest, pk: int, first: int, second: int) -> HttpResponse:
    """Two drawings compared; the page's own picker comes back here and is led to the address of its two."""
    picked = [request.GET.get(name, "") for name in ("first", "second")]
    if all(number.isascii() and number.isdigit() and len(number) < 10 for number in picked):
        return redirect("designs:difference", pk, *map(int, picked))
    context = readers.difference_page(drawing_or_404(pk, first), drawing_or_404(pk, second))
    return render(request, "designs/difference.html", context)
