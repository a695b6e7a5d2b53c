"""People in the book, as the pages would write them."""

from __future__ import annotations

from contextlib import contextmanager

from shopapp.people import book
from shopapp.people.known.actions import Written, add_person
from shopapp.people.known.erasing import erase_person
from shopapp.people.models import Person, Way


def somebody(name: str = "Wren Attwater", *, way: str = "", address: str = "", notes: str = "") -> Person:
    """A person with one way to reach them, of the kind it looks like."""
    kind = Way.Kind.MAIL if "@" in way else Way.Kind.PHONE
    return add_person(who=None, written=Written(name, address, notes, [(kind, way)] if way else []))


def an_erased(owner) -> Person:
    person = somebody("Tam Sedge", way="+353 1 555 0100", address="Quay 4", notes="Likes herons.")
    erase_person(who=owner, person=person, typed="Tam Sedge")
    person.refresh_from_db()
    return person


@contextmanager
def book_part(app: str, **given):
    """An app's part of the book for a while: what is not given holds nothing."""
    plain = {"history": lambda p: [], "out": lambda p: {}, "forget": lambda p, instead: [], "keeps": lambda p: ""}
    before = book._PARTS.copy()
    book.register(app, **{**plain, **given})
    try:
        yield
    finally:
        book._PARTS.clear()
        book._PARTS.update(before)
