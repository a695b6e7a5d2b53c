"""Every length of a plan measured back from its drawing, within a tenth of a millimetre.

What is expected is walked along here cut by cut, in the way a maker would, and shares nothing with the drawing but the
rules written beside ``planner.cutting.plan.terms``.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right

import pytest

from planner.drawing import MARKS, WoodLook
from planner.drawing.marking import PAPER, PHONE, SCREEN, board_marking_svg, layer_marking_svgs
from planner.measures import format_length
from planner.woods import WOODS
from tests.planner.drawing.marking.svg import Read
from tests.support.cut_drawn import drawn_board
from tests.support.each import each

SEEDS = range(40)
ROOMS = {"paper": PAPER, "screen": SCREEN, "phone": PHONE}
CLOSE = 0.1


def look_of(wood: str) -> WoodLook:
    return WoodLook(WOODS[wood].name, WOODS[wood].finished_rgb, list(MARKS)[len(wood) % len(MARKS)])


def given(one):
    return one.cut, one.board, one.rules, one.unit, look_of(one.board.wood)


def walked(one, rough, strips):
    """(strip's upper and lower edge, kerfs' middles, parts' from and to) of every strip, in millimetres."""
    rules, mm = one.rules, float(one.unit.mm)
    y = rules.edge_trim
    for strip in strips:
        low = y + strip.width + rules.over_width
        blade = rough.at
        kerfs, parts = [], []
        if rules.snipe:
            kerfs.append(blade + rules.snipe + min(rules.crosscut_kerf, rough.length - rules.snipe) / 2)
            blade += rules.snipe + rules.crosscut_kerf
        apart = [list(lengths) for lengths, times in strip.pieces for _ in range(times)]
        kerf, over = rules.crosscut_kerf, rules.over_length
        for size, count in strip.parts:
            for _ in range(count):
                mine = next((p for p in apart if sum(p) + (len(p) - 1) * (kerf + over) == size), None)
                if mine is not None:
                    apart.remove(mine)
                for length in mine or [size]:
                    parts.append((blade, blade + length + over))
                    blade += length + over
                    seen = min(kerf, rough.at + rough.length - blade)
                    if seen > 0:
                        kerfs.append(blade + seen / 2)
                    blade += kerf
        yield (
            (y * mm, low * mm),
            [at * mm for at in kerfs],
            [(a * mm, b * mm) for a, b in parts],
        )
        y = low + rules.rip_kerf


def near(a, b):
    return abs(a - b) < CLOSE


def check_layer(read, one, rough, strips):
    """Every kerf and part of the plan is drawn in its strip, and every line drawn is one of the plan's."""
    lines, boxes = read.uprights("crosscuts"), read.boxes("parts")
    order = sorted(range(len(lines)), key=lambda i: lines[i][0])
    places = [lines[i][0] for i in order]
    known = set()
    for (top, low), kerfs, parts in walked(one, rough, strips):
        for at in kerfs:
            around = order[bisect_left(places, at - CLOSE) : bisect_right(places, at + CLOSE)]
            beside = [(i, *lines[i]) for i in around]
            mine = [i for i, x, up, down in beside if near(x, at) and up < top + CLOSE and down > low - CLOSE]
            assert mine, (at, top, low)
            known.update(mine)
        for begin, end in parts:
            assert any(
                left < begin + CLOSE and right > end - CLOSE and up < top + CLOSE and down > low - CLOSE
                for left, up, right, down in boxes
            ), (begin, end)
        for left, up, right, down in boxes:
            if up < (top + low) / 2 < down and parts and rough.at * float(one.unit.mm) - CLOSE < left:
                inside = [part for part in parts if left - CLOSE < part[0] and part[1] < right + CLOSE]
                beyond = left > (rough.at + rough.length) * float(one.unit.mm)
                assert beyond or (near(inside[0][0], left) and near(inside[-1][1], right))
    return known, len(lines)


@each("room", ROOMS)
@each("seed", SEEDS)
def test_rough_lengths_lie_where_the_tape_finds_them(seed, room):
    one = drawn_board(seed)
    read, mm = Read(board_marking_svg(*given(one), writes=one.writes, room=ROOMS[room])), float(one.unit.mm)
    (board,) = read.boxes("board")
    assert board == pytest.approx((0, 0, one.board.length * mm, one.board.width * mm), abs=CLOSE)
    ends = {round(at * mm, 3) for rough in one.cut.rough for at in (rough.at, rough.at + rough.length)}
    over = [x for x, _, down in read.uprights("lines") if down < CLOSE + 1e-6 or down < 0]
    for at in ends:
        assert any(near(x, at) for x in over), at
    sawn = read.boxes("sawn")
    for rough in one.cut.rough:
        past = (rough.at + rough.length) * mm
        if past < one.board.length * mm - CLOSE:
            assert any(near(left, past) for left, *_ in sawn), past


@each("room", ROOMS)
@each("seed", SEEDS)
def test_parts_and_kerfs_of_the_whole_board_are_where_they_are_cut(seed, room):
    one = drawn_board(seed)
    read = Read(board_marking_svg(*given(one), writes=one.writes, room=ROOMS[room]))
    known = set()
    for rough in one.cut.rough:
        found, lines = check_layer(read, one, rough, rough.strips)
        known |= found
    if known:
        assert known == set(range(lines))


@each("room", ROOMS)
@each("seed", SEEDS)
def test_parts_and_kerfs_of_every_layer_are_where_they_are_cut(seed, room):
    one = drawn_board(seed)
    drawn = layer_marking_svgs(*given(one), writes=one.writes, room=ROOMS[room])
    layers = [(rough, strips) for rough in one.cut.rough for strips in (rough.strips, rough.under) if strips]
    assert len(drawn) == len(layers)
    for layer, (rough, strips) in zip(drawn, layers, strict=True):
        read = Read(layer.svg)
        # A layer is drawn from its own front.
        read.left -= rough.at * float(one.unit.mm) * read.along
        known, lines = check_layer(read, one, rough, strips)
        assert known == set(range(lines))
        kerf = one.rules.rip_kerf * float(one.unit.mm)
        between = [top for (top, _), _, _ in walked(one, rough, strips)][1:]
        ripped = [y for y, _, _ in read.levels("rips")]
        for top in between:
            assert any(near(y + kerf / 2, top) for y in ripped)


@each("seed", SEEDS)
def test_the_tape_under_the_board_says_where_every_mark_is(seed):
    one = drawn_board(seed)
    read = Read(board_marking_svg(*given(one), writes=one.writes))
    under = [word for word in read.words() if word.top > read.top + one.board.width * float(one.unit.mm) * read.across]
    told = {word.text.replace("\u00a0\u00a0", " "): word for word in under[:-1]}
    kerf, last = one.rules.crosscut_kerf, -(10**9)
    for rough in one.cut.rough:
        marks = [rough.at] if rough.at and rough.at - last > kerf else []
        last = rough.at + rough.length
        if last < one.board.length:
            marks.append(last)
        for at in marks:
            length = one.unit * at
            word = told.pop(format_length(length, one.writes, with_unit=False))
            # Words end left of their mark by a fifth of their size.
            assert abs(read.left + float(length.mm) * read.along - PAPER.text * 0.2 - word.right) < 0.05
    assert not told


@each("seed", SEEDS)
def test_on_paper_the_scale_that_is_written_is_the_one_that_is_drawn(seed):
    one = drawn_board(seed)
    for svg in (board_marking_svg(*given(one)), *(layer.svg for layer in layer_marking_svgs(*given(one)))):
        read = Read(svg)
        words = next(word.text for word in read.words() if word.text.startswith("Drawn 1 : "))
        scale = float(words.removeprefix("Drawn 1 : ").split(",")[0].split(".  ")[0].split(". ")[0].rstrip("."))
        assert read.along == pytest.approx(1 / scale, rel=1e-6)
        times = {"twice": 2, "three": 3, "four": 4, "five": 5, "six": 6}
        said = words.split("the width ")[1].split()[0] if "the width" in words else "1"
        assert read.across / read.along == pytest.approx(float(times.get(said, said)), rel=1e-6)
