"""Seams measured back: what is drawn bare and what carries add up to the board, the weakest is named and shown.

A seam is held by long grain alone (Wood Handbook, FPL-GTR-190, chapter 10: end-grain butt joints are practically
impossible to make strong enough for ordinary service).
"""

from __future__ import annotations

import re
from collections import defaultdict
from fractions import Fraction
from functools import cache
from itertools import pairwise

import pytest

from planner.build import along_of, seam_place
from planner.drawing.marking import PAPER, PHONE, SCREEN
from planner.drawing.working import seams_svg
from tests.planner.drawing.working.boards import SEEDS, looks_of, record_of, record_with, says, unit_of
from tests.planner.drawing.working.measured import Measured
from tests.support.each import each

ROOMS = {"paper": PAPER, "screen": SCREEN, "phone": PHONE}
CLOSE = 0.1
CLASSES = [Fraction(1, 4), Fraction(1, 2), Fraction(3, 4), Fraction(2)]


def jointed() -> list[int]:
    return [seed for seed in SEEDS if record_of(seed)["seams"]]


@cache
def svg_of(seed, room):
    record = record_of(seed)
    return seams_svg(record, looks_of(record), unit_of(seed), room=room)


def drawn(seed, room=PAPER):
    return record_of(seed), Measured(svg_of(seed, room))


def x_of(record, column):
    return float(Fraction(record["spec"]["side_border"]) + column * Fraction(record["spec"]["pitch"]))


def listed(texts):
    """By column the long grain that is told: "4: 80", and "5–9: 400" for each of several."""
    found = {}
    for text in texts:
        if match := re.fullmatch(r"(\d+)(?:–(\d+))?: (.+)", text):
            found |= dict.fromkeys(range(int(match[1]), int(match[2] or match[1]) + 1), match[3])
    return found


def bare_lines(read):
    """By the drawn line's class: x, from and to."""
    return {kind: read.uprights(f"seam {kind}") for kind in range(4)}


def test_there_are_boards_with_seams_of_every_class_among_these():
    kinds = {kind for seed in jointed() for kind, lines in bare_lines(drawn(seed)[1]).items() if lines}
    assert kinds == {0, 1, 2, 3}


@each("room", ROOMS)
@each("seed", jointed)
def test_what_is_drawn_bare_and_what_long_grain_carries_are_together_the_whole_board(seed, room):
    record, read = drawn(seed, ROOMS[room])
    bare = defaultdict(list)
    for kind, lines in bare_lines(read).items():
        for x, begin, end in lines:
            column = next(s["column"] for s in record["seams"] if abs(x_of(record, s["column"]) - x) < CLOSE)
            bare[column].append((begin, end, kind))
    assert bare.keys() == {seam["column"] for seam in record["seams"]}
    for seam in record["seams"]:
        stretches = sorted(bare[seam["column"]])
        assert all(one[1] < two[0] + CLOSE for one, two in pairwise(stretches))
        carried, of = float(Fraction(seam["carried"])), float(Fraction(seam["of"]))
        assert sum(end - begin for begin, end, _ in stretches) == pytest.approx(of - carried, abs=CLOSE)
        assert max(end - begin for begin, end, _ in stretches) == pytest.approx(
            float(Fraction(seam["longest_gap"])), abs=CLOSE
        )
        # The heavier the line, the less long grain there is.
        share = Fraction(seam["share"])
        assert {kind for *_, kind in stretches} == {next(n for n, below in enumerate(CLASSES) if share < below)}


@each("seed", jointed)
def test_bare_is_where_the_record_joints_its_rows_and_long_grain_where_a_piece_lies_across(seed):
    record, read = drawn(seed)
    lines = [line for lines in bare_lines(read).values() for line in lines]
    top = (Fraction(record["blank"][1]) - Fraction(record["finished"][1])) / 2
    end, pitch = Fraction(record["spec"]["end_border"]), Fraction(record["spec"]["pitch"])
    for row in record["laid"]:
        first = row["first"] - 1
        middle = float(end + pitch * first + pitch * row["deep"] / 2)
        x, joints = Fraction(0), set()
        for number in row["parts"][:-1]:
            x += Fraction(record["parts"][number]["place"][0])
            joints.add(round(float(x - (Fraction(record["blank"][0]) - Fraction(record["finished"][0])) / 2), 1))
        here = {round(x, 1) for x, begin, stop in lines if begin < middle < stop}
        assert len(here) == len(joints)
        assert all(min(abs(x - joint) for joint in joints) < CLOSE + 0.06 for x in here)
    assert top >= 0


@each("room", ROOMS)
@each("seed", jointed)
def test_the_weakest_is_named_with_its_place_and_its_longest_bare_stretch_is_measured(seed, room):
    record, read = drawn(seed, ROOMS[room])
    weakest, unit = record["weakest"], unit_of(seed)
    place = seam_place(weakest["column"], record["columns"], along_of(record))
    carried, of, gap = (says(weakest[name], unit) for name in ("carried", "of", "longest_gap"))
    told = f"Weakest seam, {place}: long grain crosses {carried} of {of}, the longest stretch with none is {gap}."
    assert told in " ".join(read.texts()) and told in read.said
    (stretch,) = [one for one in read.dimensions() if one.name == "longest stretch"]
    assert stretch.across and stretch.mm == Fraction(weakest["longest_gap"])
    assert stretch.end - stretch.begin == pytest.approx(float(stretch.mm), abs=CLOSE)
    x = x_of(record, weakest["column"])
    mine = [line for lines in bare_lines(read).values() for line in lines if abs(line[0] - x) < CLOSE]
    assert any(abs(begin - stretch.begin) < CLOSE and abs(end - stretch.end) < CLOSE for _, begin, end in mine)
    (flag,) = read.paths("flag")
    tip = float(re.match(r"M(-?[\d.]+)", flag.get("d"))[1])
    assert (tip - read.left) / read.scale == pytest.approx(x, abs=CLOSE)
    # Barbs tell it from its neighbours in grey.
    (barbs,) = read.paths("barbs")
    marks = [
        (float(x) + float(long) / 2 - read.left) / read.scale
        for x, long in re.findall(r"M(-?[\d.]+) -?[\d.]+h(-?[\d.]+)", barbs.get("d"))
    ]
    assert any(at == pytest.approx(x, abs=CLOSE) for at in marks)
    finished = [one for one in read.dimensions() if one.name.startswith("finished")]
    assert {(one.name, str(one.mm)) for one in finished} == {
        ("finished length", record["finished"][0]),
        ("finished height", record["finished"][1]),
    }


@each("room", ROOMS)
@each("seed", jointed)
def test_every_seam_has_a_bar_as_high_as_its_long_grain_and_its_number_in_the_list(seed, room):
    record, read = drawn(seed, ROOMS[room])
    bars = read.paths("carried")
    assert [int(bar.get("data-column")) for bar in bars] == [seam["column"] for seam in record["seams"]]
    whole = float(Fraction(record["weakest"]["of"]))
    for bar, seam in zip(bars, record["seams"], strict=True):
        assert bar.get("data-mm") == seam["carried"]
        ((x, _, long, high),) = read.rectangles(bar)
        scale = float(bar.get("data-scale"))
        assert high * read.scale / scale == pytest.approx(float(Fraction(seam["carried"])), abs=whole / 500)
        assert x + long / 2 == pytest.approx(x_of(record, seam["column"]), abs=CLOSE)
    assert listed(read.texts()) == {seam["column"]: says(seam["carried"], unit_of(seed)) for seam in record["seams"]}
    counts = [int(match[1]) for text in read.texts() if (match := re.search(r"crossed: (\d+) seams?$", text))]
    assert sum(counts) == len(record["seams"])


def test_the_less_long_grain_the_wider_the_line():
    widths = {}
    for seed in jointed():
        _, read = drawn(seed)
        for kind in range(4):
            for path in read.paths(f"seam {kind}"):
                fine = float(read.paths("outline")[0].get("stroke-width"))
                widths.setdefault(kind, set()).add(round(float(path.get("stroke-width")) / fine, 1))
    assert min(widths[0]) > 0 and max(widths[0]) > max(widths[1]) > max(widths[2]) > max(widths[3])
    dashed = {
        kind
        for seed in jointed()
        for kind in range(4)
        for p in drawn(seed)[1].paths(f"seam {kind}")
        if p.get("stroke-dasharray")
    }
    assert dashed == {2, 3}


def test_of_very_many_seams_the_weakest_are_listed_and_all_are_read_aloud():
    """Each row is jointed at its own number, and at every multiple of it."""
    unlike = ("walnut-black", "beech")
    rows = [[unlike[x // (y + 1) % 2] for x in range(200)] for y in range(100)]
    record = record_with(rows)
    read = Measured(seams_svg(record, looks_of(record), "mm"))
    told = {column: Fraction(text) for column, text in listed(read.texts()).items()}
    carried = {seam["column"]: Fraction(seam["carried"]) for seam in record["seams"]}
    assert 20 < len(told) < len(carried) and told.items() <= carried.items()
    assert max(told.values()) <= min(value for column, value in carried.items() if column not in told)
    assert any(text.startswith(f"The {len(told)} weakest seams") for text in read.texts())
    aloud = listed(read.said.partition("millimetres: ")[2].split("; "))
    assert {column: Fraction(text) for column, text in aloud.items()} == carried
    assert read.height <= PAPER.high and float(Fraction(record["finished"][1])) * read.scale > PAPER.high / 4


@each("seed", lambda: [seed for seed in SEEDS if not record_of(seed)["seams"]])
def test_a_board_without_seams_says_why_it_has_none(seed):
    record, read = drawn(seed)
    said = " ".join(read.texts())
    assert ("end grain" in said) == bool(record["panels"]) or "no row has a joint" in said
    assert not read.paths("carried") and not read.paths("flag")
