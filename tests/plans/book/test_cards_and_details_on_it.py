"""The evenings and the details of a shop book say what the kept timetable and the plan say."""

from __future__ import annotations

import json
import re
from fractions import Fraction

import pytest

from planner.measures import Length, format_length
from shopapp.common.fields import plain_number
from shopapp.plans.book.paper import book_html, shop_book_pdf
from shopapp.workshop.gluing.actions import add_material
from shopapp.workshop.models import Finish
from tests.support.book_pages import fields, pages_of, section, texts_of
from tests.support.books import a_lamp, a_plan, book, with_evenings

pytestmark = pytest.mark.django_db
ASKED = {
    "use": "serving",
    "details": ("handles", "feet", "round"),
    "side_border": Length.of_mm(60),
    "end_border": Length.of_mm(60),
    "quantity": 2,
}


@pytest.fixture
def bound(owner):
    add_material(who=owner, model=Finish, values={"name": "Nut oil", "coats": 3, "soak": 45, "recoat": 720})
    return book(owner, with_evenings(owner, a_plan(owner, a_lamp(8), **ASKED)))


@pytest.fixture
def pages(bound, once):
    return pages_of(once("shop book: a lamp with details", lambda: texts_of(shop_book_pdf(bound))))


def flat(pages, kind: str = "flowing") -> str:
    return " ".join(" ".join(line for page in pages for line in getattr(page, kind)).split())


def test_every_step_that_takes_hands_stands_on_a_card_in_its_order_with_its_minutes(bound, pages):
    form = json.loads(bound.timetable.form)
    tasks, starts = form["work"]["tasks"], form["work"]["timetable"]["starts"]
    said = flat(section(pages, "The evenings, card by card"))
    at = 0
    order = sorted((start, n) for n, start in enumerate(starts) if tasks[n]["attended"])
    for _, n in order:
        words = re.escape(form["steps"][n]["words"])
        minutes = tasks[n]["attended"] * form["work"]["slot_minutes"]
        found = re.search(rf"{words}, {minutes} min", said[at:])
        assert found, form["steps"][n]["words"]
        at += found.end()


def test_every_screw_has_its_place_and_every_detail_its_hardware_and_minutes(bound, pages):
    found = section(pages, "Details, once cut to size")
    said = flat(found)
    say = lambda text: format_length(Length.of_mm(text), "mm")  # noqa: E731
    lines = [fields(line) for page in found for line in page.columns]
    for detail in bound.plan.record["details"]:
        minutes = plain_number(Fraction(detail["minutes"]["value"][1]), 2)
        assert re.search(rf"{detail['words']}: .*? {detail['hardware'] or '–'} {minutes} min\b", said)
        screws = [[detail["words"], say(x), say(y)] for x, y in detail["screws"]]
        assert [line for line in lines if line[0] == detail["words"]] == screws
    assert "On each of the 2 boards" in said


def test_the_finishing_goes_by_the_finish_s_own_record(pages):
    said = flat(section(pages, "Sanding and finishing"))
    assert "With Nut oil." in said and "the data sheet of what you use comes first" in said
    for words in ("Coat 3 of 3: dust off, lay it on. 45 min to soak", "12 h to the next coat", "2 h to dry", "3 days"):
        assert words in said, words
    assert "80, 120, 180, 240, 320" in said and "catch fire" in said


def test_a_finish_whose_sheet_is_written_anew_makes_another_book_and_leaves_the_first(owner, bound):
    again = book(owner, bound.plan)
    assert again.pk == bound.pk
    Finish.objects.filter(name="Nut oil").update(soak=20)
    changed = book(owner, bound.plan)
    assert changed.pk != bound.pk
    for one, soak in ((bound, 45), (changed, 20)):
        finishing = book_html(one).partition('<div id="finishing">')[2].partition('<div id="cautions">')[0]
        assert set(re.findall(r"(\d+)\s+min\s+to\s+soak", finishing)) == {str(soak)}


def test_what_can_hurt_stands_where_it_is_done_and_nothing_is_called_safe(pages):
    for name, words in (
        ("Parts, and their size at every stage", "hold-down"),
        ("Rows to lay", "The adhesive’s data sheet comes first"),
        ("Borders, trimming and truing", "manual comes before anything written here"),
        ("Details, once cut to size", "as its manual says"),
        ("Sanding and finishing", "The finish’s data sheet comes first"),
        ("In use, and before it leaves", "Neither approves a board"),
    ):
        assert words in flat(section(pages, name)), name
    everything = " ".join(flat([page]) for page in pages)
    assert not re.search(r"\b(is|are) (food[- ])?safe\b|\bapproved\b", everything)
