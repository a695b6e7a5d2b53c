"""What years on paper have in the book of a person: those made while something on them had their name."""

from __future__ import annotations

import json
from typing import Any

from shopapp.books.models import YearPaper
from shopapp.common.erasing import take_away
from shopapp.listings.models import Channel
from shopapp.people.book import Happening, register
from shopapp.people.models import Person

EXPLAINS = {
    "papers": "Years on paper that have their name, or a shop of theirs, in them: the year and the file’s SHA-256."
}


def _naming(person: Person) -> list[YearPaper]:
    """Two queries."""
    theirs = set(Channel.objects.filter(person=person).values_list("pk", flat=True))
    name = "" if person.erased_at else person.name.lower()
    found = []
    for paper in YearPaper.objects.select_related("document").order_by("pk"):
        if (name and name in paper.says.lower()) or (theirs and theirs & set(json.loads(paper.says)["channels"])):
            found.append(paper)
    return found


def history(person: Person) -> list[Happening]:
    return []


def out(person: Person) -> dict[str, Any]:
    papers = [{"year": one.year, "sha256": one.document.sha256 if one.document else ""} for one in _naming(person)]
    return {"papers": papers} if papers else {}


def goes(person: Person) -> list[str]:
    return _told(_naming(person))


def _told(papers: list[YearPaper]) -> list[str]:
    count = len(papers)
    many = f"{count} paper{'' if count == 1 else 's'}"
    return [f"{many} of a year that may name them; each can be made anew."] if count else []


def forget(person: Person, instead: str) -> list[str]:
    papers = _naming(person)
    documents = [one.document for one in papers if one.document is not None]
    YearPaper.objects.filter(pk__in=[one.pk for one in papers]).delete()
    take_away(documents)
    return _told(papers)


def keeps(person: Person) -> str:
    return ""


def take_part() -> None:
    register("books", history=history, out=out, forget=forget, keeps=keeps, goes=goes, explains=EXPLAINS)
