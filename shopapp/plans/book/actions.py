"""Asking the worker for a shop book."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from shopapp.common.actions import write_audit
from shopapp.common.documents import make_once
from shopapp.common.tasks import background, enqueue, task_state
from shopapp.people.models import Member
from shopapp.plans.models import ShopBook
from shopapp.workshop.readers import the_workshop

from .bound import bound_now
from .wanted import Binding


def ask_for_book(
    *, who: Member | None, binding: Binding, paper: str, spend: Callable[[], None] = lambda: None
) -> ShopBook:
    """Have the worker make the book of what is kept now, or make it again after a failure. One of the same contents on
    the same paper that stands, or is being made, is the answer."""
    with transaction.atomic():
        spend()
        bound = bound_now(binding, the_workshop())
        book, _ = ShopBook.objects.get_or_create(
            sha256=bound.fingerprint(paper), defaults={**bound.as_row(paper), "asked_by": who}
        )
        book = ShopBook.objects.select_for_update().get(pk=book.pk)
        if book.document_id is None and task_state(book.task).word not in ("waiting", "working"):
            book.task = enqueue(make_book, book.pk)
            book.save(update_fields=["task"])
            write_audit(who, f"The shop book of {book.label} was asked for on {book.get_paper_display()}.", book)
    return book


@background(name="make a shop book")
def make_book(book_pk: int) -> None:
    """The worker's part: render the book, write the file, then record it."""
    from .paper import shop_book_pdf

    book = ShopBook.objects.select_related("plan__design", "sheet__plan", "timetable").get(pk=book_pk)
    make_once(ShopBook.objects.filter(pk=book.pk), lambda: shop_book_pdf(book), f"Shop book, {book.label}")
