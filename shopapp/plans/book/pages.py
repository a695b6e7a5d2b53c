"""The pages of the shop book; each is asked for by whoever wants a board made, at an address of its own."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from shopapp.common.actions import AlreadySent
from shopapp.common.documents import pdf_answer
from shopapp.plans.models import ShopBook
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .bound import bound_now, usual_paper
from .forms import BookForm
from .wanted import Binding


def book(request: HttpRequest, binding: Binding) -> HttpResponse:
    """GET shows the books there are and what a new one would hold; POST has one made."""
    workshop = workshop_of(request)
    if request.method == "POST":
        form = BookForm(request.POST)
        if form.is_valid():
            return _asked(request, binding, form)
    else:
        form = BookForm(initial={"paper": usual_paper(workshop)})
    bound = bound_now(binding, workshop)
    context = {
        "binding": binding,
        "form": form,
        "bound": bound,
        "books": readers.books_of(binding, bound),
        "to_cut": binding.to("cut"),
        "to_timetable": binding.to("timetable"),
        "to_as_made": binding.to("cut_as_made", bound.gauged.sheet_id) if bound.gauged else "",
    }
    return render(request, "plans/book/books.html", context, status=422 if form.errors else 200)


def _asked(request: HttpRequest, binding: Binding, form: BookForm) -> HttpResponse:
    try:
        made = actions.ask_for_book(
            who=request.user, binding=binding, paper=form.cleaned_data["paper"], spend=form.spend
        )
    except AlreadySent:
        messages.info(request, "The book was already asked for; here it is.")
    else:
        if made.document_id is not None:
            messages.info(request, "Nothing has changed since that book was made; it stands below.")
    return redirect(binding.here)


def state(request: HttpRequest, binding: Binding, book_pk: int) -> HttpResponse:
    """What the waiting page asks every second; it never starts anything."""
    found = _book(binding, book_pk)
    return render(request, "plans/book/_state.html", {"line": readers.book_line(binding, found)})


def pdf(request: HttpRequest, binding: Binding, book_pk: int) -> HttpResponse:
    found = _book(binding, book_pk)
    return pdf_answer(found.document, f"shop-book-{found.pk}.pdf", "This shop book is not made yet.")


def _book(binding: Binding, book_pk: int) -> ShopBook:
    return get_object_or_404(ShopBook.objects.select_related("document"), pk=book_pk, key=binding.key)
