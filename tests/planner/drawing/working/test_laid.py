"""The pattern as laid, measured back from its drawing within a tenth of a millimetre: every piece of the record in its
place, every dimension the record's, left and right swapped where it is glued face down.

Where pieces lie is walked along here as a maker lays them: row after row, piece after piece.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from functools import cache

import pytest

from planner.drawing.marking import PAPER, PHONE, SCREEN
from planner.drawing.working import laid_svg
from tests.planner.drawing.working.boards import SEEDS, looks_of, record_of, says, unit_of
from tests.planner.drawing.working.measured import Measured
from tests.support.each import each

CLOSE = 0.1
FACES = (False, True)


@cache
def svg_of(seed, mirrored, room):
    record = record_of(seed)
    return laid_svg(record, looks_of(record), unit_of(seed), mirrored=mirrored, room=room)


def drawn(seed, mirrored, room=PAPER):
    return record_of(seed), Measured(svg_of(seed, mirrored, room))


def lines_of(record):
    upper, lower = record["borders"]
    lines = [row["parts"] for row in record["laid"]]
    return lines if upper is None else [[upper], *lines, [lower]]


def walked(record):
    """By wood: left, top, how long and how wide every piece lies, face up."""
    found = defaultdict(list)
    y = Fraction(0)
    for line in lines_of(record):
        x = Fraction(0)
        for number in line:
            part = record["parts"][number]
            long, wide = (Fraction(text) for text in part["place"])
            found[part["wood"]].append((x, y, long, wide))
            x += long
        assert x == Fraction(record["blank"][0])
        y += wide
    assert y == Fraction(record["blank"][1])
    return found


@each("mirrored", FACES)
@each("seed", SEEDS)
def test_every_piece_of_the_record_lies_in_its_place(seed, mirrored):
    record, read = drawn(seed, mirrored)
    blank = Fraction(record["blank"][0])
    wood, expected = read.wood(), walked(record)
    assert wood.keys() == expected.keys()
    for name, pieces in expected.items():
        if mirrored:
            pieces = [(blank - x - long, y, long, wide) for x, y, long, wide in pieces]
        assert len(wood[name]) == len(pieces)
        mine = sorted(wood[name], key=lambda box: (round(box[1]), box[0]))
        for box, piece in zip(mine, sorted(pieces, key=lambda box: (round(box[1]), box[0])), strict=True):
            assert box == pytest.approx(tuple(map(float, piece)), abs=CLOSE)


def _place(corner):
    return round(corner[1]), corner[0]


@each("seed", SEEDS)
def test_face_down_every_piece_is_where_face_up_it_is_in_a_mirror(seed):
    record, up = drawn(seed, False)
    _, down = drawn(seed, True)
    blank = float(Fraction(record["blank"][0]))
    for wood, boxes in up.wood().items():
        swapped = sorted(((blank - x - long, y) for x, y, long, _ in boxes), key=_place)
        there = sorted(((x, y) for x, y, _, _ in down.wood()[wood]), key=_place)
        assert len(swapped) == len(there)
        assert all(a == pytest.approx(b, abs=CLOSE) for a, b in zip(swapped, there, strict=True))
    assert any("left and right are swapped" in text for text in down.texts()) and "swapped" in down.said
    assert not any("swapped" in text for text in up.texts())


@each("room", (PAPER, SCREEN, PHONE), ids=("paper", "screen", "phone"))
@each("mirrored", FACES)
@each("seed", SEEDS)
def test_every_dimension_is_as_long_as_it_says_and_says_what_the_record_has(seed, mirrored, room):
    record, read = drawn(seed, mirrored, room)
    spec, blank, finished = record["spec"], *([Fraction(t) for t in record[k]] for k in ("blank", "finished"))
    side, end, pitch = (Fraction(spec[name]) for name in ("side_border", "end_border", "pitch"))
    ends, edges = (blank[0] - finished[0]) / 2, (blank[1] - finished[1]) / 2
    field = ends + side, edges + end
    datum = field[0] + record["columns"] // 2 * pitch
    expected = {
        ("blank length", False): [(Fraction(0), blank[0])],
        ("finished length", False): [(ends, blank[0] - ends)],
        ("finished height", True): [(edges, blank[1] - edges)],
        ("datum", False): [(Fraction(0), datum)],
    }
    if edges:
        expected["blank height", True] = [(Fraction(0), blank[1])]
    if side:
        expected["side border", False] = [(ends, field[0]), (blank[0] - field[0], blank[0] - ends)]
        expected["picture", False] = [(field[0], blank[0] - field[0])]
    if end:
        expected["end border", True] = [(edges, field[1]), (blank[1] - field[1], blank[1] - edges)]
        expected["picture", True] = [(field[1], blank[1] - field[1])]
    found = defaultdict(list)
    for one in read.dimensions():
        assert one.end - one.begin == pytest.approx(float(one.mm), abs=CLOSE)
        found[one.name, one.across].append(one)
    (tile,) = found.pop(("pitch", False))
    # The pitch is shown at the first tile past the datum line.
    assert tile.mm == pitch
    first = tile.begin if not mirrored else float(blank[0]) - tile.end
    assert (first - float(field[0])) / float(pitch) == pytest.approx(record["columns"] // 2, abs=0.01)
    assert found.keys() == expected.keys()
    for key, spans in expected.items():
        if mirrored and not key[1]:
            spans = sorted((blank[0] - b, blank[0] - a) for a, b in spans)
        for one, (begin, stop) in zip(sorted(found[key], key=lambda one: one.begin), spans, strict=True):
            assert one.mm == stop - begin
            assert (one.begin, one.end) == pytest.approx((float(begin), float(stop)), abs=CLOSE)
    written = [f" {text}" for text in read.texts()]
    for one in read.dimensions():
        assert any(text.endswith(f" {says(one.mm, unit_of(seed))}") for text in written), one


@each("mirrored", FACES)
@each("seed", SEEDS)
def test_the_finished_size_is_dashed_where_it_is_trimmed_and_the_datum_line_lies_between_two_tiles(seed, mirrored):
    record, read = drawn(seed, mirrored)
    (path,) = read.paths("finished")
    (box,) = read.rectangles(path)
    blank, finished = ([float(Fraction(t)) for t in record[name][:2]] for name in ("blank", "finished"))
    assert path.get("stroke-dasharray")
    assert box == pytest.approx(((blank[0] - finished[0]) / 2, (blank[1] - finished[1]) / 2, *finished), abs=CLOSE)
    ((x, top, low),) = read.uprights("datum line")
    pitch, columns = float(Fraction(record["spec"]["pitch"])), record["columns"]
    begin = (blank[0] - columns * pitch) / 2
    at = begin + columns // 2 * pitch
    assert x == pytest.approx(blank[0] - at if mirrored else at, abs=CLOSE)
    assert top <= 0 and low >= blank[1]


@each("room", (PAPER, PHONE), ids=("paper", "phone"))
@each("mirrored", FACES)
@each("seed", SEEDS)
def test_rows_are_numbered_where_they_lie_and_tiles_from_where_rows_begin(seed, mirrored, room):
    record, read = drawn(seed, mirrored, room)
    tops, y = {}, Fraction(0)
    for line, row in zip(lines_of(record), _numbered(record), strict=True):
        wide = Fraction(record["parts"][line[0]]["place"][1])
        tops[row] = (y, y + wide)
        y += wide
    numbers = [word for word in read.words() if abs(word.right - read.left + room.text * 0.4) < 0.01]
    rows = {word.text.removeprefix("row "): word for word in numbers if word.text.removeprefix("row ").isdigit()}
    assert "1" in rows and rows["1"].text == "row 1"
    for text, word in rows.items():
        middle = ((word.top + word.bottom) / 2 - read.top) / read.scale
        top, low = tops[int(text)]
        assert float(top) - CLOSE < middle < float(low) + CLOSE
    line = read.top - room.text * 0.1
    over = [w for w in read.words() if w.text.isdigit() and abs(w.bottom - line) < 0.01 and w.left > read.left]
    pitch, columns = float(Fraction(record["spec"]["pitch"])), record["columns"]
    blank = float(Fraction(record["blank"][0]))
    assert any(word.text == "1" for word in over)
    for word in over:
        x = ((word.left + word.right) / 2 - read.left) / read.scale
        x = blank - x if mirrored else x
        assert (x - (blank - columns * pitch) / 2) / pitch + 0.5 == pytest.approx(int(word.text), abs=0.1)


def _numbered(record):
    rows = [row["number"] for row in record["laid"]]
    return rows if record["borders"][0] is None else [0, *rows, -1]


@each("seed", SEEDS)
def test_as_many_pieces_of_each_wood_are_told_as_the_record_has(seed):
    record, read = drawn(seed, False)
    counts = defaultdict(int)
    for part in record["parts"]:
        # A strip of a panel serves every copy.
        mine = Fraction(part["pieces"], record["spec"]["quantity"]) if part.get("for_all") else part["count"]
        counts[part["wood"]] += mine
    for wood in record["woods"]:
        many = counts[wood["wood"]]
        told = f"{wood['name']}, {many} piece{'' if many == 1 else 's'}"
        assert any(text.startswith(told) for text in read.texts()), told
        assert len(read.wood()[wood["wood"]]) == many


@each("seed", SEEDS)
def test_the_grain_runs_along_the_rows_and_stands_on_end_in_panels(seed):
    record, read = drawn(seed, False)
    on_end = bool(record["panels"])
    assert any("grain stands on end" in text for text in read.texts()) == on_end
    (grain,) = read.paths("grain")
    assert ("a" in grain.get("d")) == on_end
    if record["spec"]["along"] == "columns":
        assert "hangs at the bottom" in read.said and "row 1 hangs at the left" in read.said


def test_face_down_an_upright_row_begins_at_the_right_and_hangs_from_the_bottom():
    seed = next(s for s in SEEDS if record_of(s)["spec"]["along"] == "columns")
    _, read = drawn(seed, True)
    assert "what lies at the right here hangs at the bottom" in read.said.replace("\n", " ")
