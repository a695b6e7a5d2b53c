"""A plan kept before rows could be deep, upright or slices has the same book, but for what nobody knew then."""

from __future__ import annotations

import json

import pytest

from shopapp.plans.book.making import MAKING
from shopapp.plans.book.rows import rows_of
from shopapp.plans.book.told import Told, told_of
from shopapp.plans.readers import RecordView
from tests.support.books import a_lamp, a_plan, book

pytestmark = pytest.mark.django_db


def of_before(told: Told) -> Told:
    """The same book as if its record were of the first form."""
    old = json.loads(json.dumps(told.record))
    old["form"] = 1
    for key in ("panels", "details", "supplies", "moving", "mass", "operations"):
        old.pop(key, None)
    del old["spec"]["along"], old["spec"]["details"]
    for row in old["laid"]:
        del row["first"], row["deep"]
    for part in old["parts"]:
        del part["deep"]
    told = Told(told.book, told.shop)
    vars(told)["record"] = old
    vars(told)["view"] = RecordView(old, told.plan.title, told.shop.unit)
    return told


def test_every_section_is_there_and_rows_and_parts_are_the_same(owner):
    now = told_of(book(owner, a_plan(owner, a_lamp(6))))
    then = of_before(now)
    assert rows_of(then) == rows_of(now)
    sections = {key: section(then) for key, section in MAKING.items()}
    assert {key for key, section in sections.items() if section is None} == {"cards", "details"}
    assert sections["parts"].pieces == MAKING["parts"](now).pieces
    assert sections["finishing"].used == ()
    assert [line.words for line in sections["notes"].lines] == [line.words for line in MAKING["notes"](now).lines]


def test_two_woods_of_one_name_are_told_apart_by_their_marks(owner):
    told = told_of(book(owner, a_plan(owner, a_lamp(6))))
    record = json.loads(json.dumps(told.record))
    for wood in record["woods"]:
        wood["name"] = "Birch"
    vars(told)["record"] = record
    vars(told)["view"] = RecordView(record, told.plan.title, told.shop.unit)
    names = [wood.wood_name for wood in rows_of(told).woods]
    assert len(set(names)) == len(names) and all(name.startswith("Birch (") for name in names)
