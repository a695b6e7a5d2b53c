"""Every count on a shop book is the plan's: on the cover, in the truing, the details, the finishing and the notes.

Rows, parts and set-ups are rebuilt from their text elsewhere.
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from planner.measures import Length, format_length, round_half_up
from shopapp.common.fields import plain_number
from tests.support.book_boards import CASES
from tests.support.book_pages import LENGTH, fields, pages_of, section

pytestmark = pytest.mark.django_db
every_board = pytest.mark.parametrize("printed", list(CASES), indirect=True)


def flat(lines) -> str:
    return " ".join(" ".join(lines).split())


@every_board
def test_the_cover_counts_woods_pieces_spares_and_joints(printed):
    record = printed.record
    cover = pages_of(printed.texts)[0]
    lines = [fields(line) for line in cover.columns]
    for wood in record["woods"]:
        row = next(line for line in lines if line[0] == wood["name"])
        volume = f"{round_half_up(Fraction(wood['gross']['value'][1]), 2):f} bf"
        assert row[1:] == [
            wood["mark"], str(wood["tiles"] or "border"), str(wood["pieces"]), str(wood["strips"]), volume
        ]  # fmt: skip
    said, figures, joints = flat(cover.flowing), record["figures"], record["joints"]
    pieces, spares = (int(figures[name]["value"][1]) for name in ("pieces", "spares"))
    assert re.search(rf"\b{pieces} pieces? in a board; {spares} pieces? spare in all", said)
    assert f"Joints in rows {joints['in_rows']}, between rows {joints['row_to_row']}" in said
    copies = record["spec"]["quantity"]
    assert (f"{copies} boards" if copies > 1 else "one board") in said
    if copies > 1:
        # What the table counts is of all of them.
        assert f"For all {copies} boards" in said


@every_board
def test_the_truing_leads_from_the_field_to_the_finished_board(printed):
    record, unit = printed.record, printed.unit
    say = lambda text: format_length(Length.of_mm(text), unit, with_unit=False)  # noqa: E731
    page = section(pages_of(printed.texts), "Borders, trimming and truing")
    said = flat(line for one in page for line in one.columns)
    sizes = [tuple(size) for size in re.findall(rf"({LENGTH}) × ({LENGTH}) × ({LENGTH})", said)]
    panels = record["panels"]
    thick = panels[0]["sliced"] if panels else record["parts"][0]["stages"]["gauged"][2]
    blank, finished = [say(text) for text in record["blank"]], tuple(say(text) for text in record["finished"])
    assert sizes[-1] == finished
    assert (*blank, say(thick)) in sizes and (*blank, finished[2]) in sizes
    off = (Fraction(record["blank"][0]) - Fraction(record["finished"][0])) / 2
    assert f"{say(str(off))} {unit} off each" in said
    tiles = record["columns"] // 2
    datum = off + Fraction(record["spec"]["side_border"]) + tiles * Fraction(record["spec"]["pitch"])
    assert re.search(rf"the line {tiles} tiles? from where the picture begins", said)
    assert f"It lies {say(str(datum))} {unit} from the blank" in said
    rows = [int(many) for many in re.findall(r"Dress the glued edges of (\d+) rows?", said)]
    assert sum(rows) == (0 if panels else len(record["laid"]))


@every_board
def test_the_notes_have_every_operation_of_the_log_with_its_count_and_its_minutes(printed):
    terms = printed.record["figures"]["hours"]["terms"]
    said = flat(line for page in section(pages_of(printed.texts), "Notes and actual times") for line in page.flowing)
    for term in terms:
        count, minutes = (Fraction(one["value"][1]) for one in (term["figure"]["terms"][0]["figure"], term["figure"]))
        words = [re.escape(one) for one in (term["name"], plain_number(count, 2), plain_number(minutes, 2))]
        assert re.search(r"{} {} \S+ {} min _+".format(*words), said), term["name"]
    assert "The whole board, what is not logged by itself ___" in said


@every_board
def test_what_is_used_up_is_what_the_plan_reckons(printed):
    said = flat(line for page in section(pages_of(printed.texts), "Sanding and finishing") for line in page.flowing)
    used = printed.record["supplies"]
    for name, unit in (("glue", "g"), ("finish", "ml")):
        assert re.search(rf"\b{name} {plain_number(Fraction(used[name]['value'][1]), 0)} {unit}\b", said)
    assert re.search(rf"abrasives {used['abrasives']['value'][1]} discs?", said)
