"""Drawings of a board can be read: no words on each other, none too small, one path a wood, nothing over a page's edge.

Type on paper is 3.7 mm, 10.5 points, drawn in its own size; on a phone 13 pixels of a sheet as wide as its page.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations

from planner.drawing.marking import PAPER, PHONE, SCREEN
from planner.drawing.working import laid_svg, parts_svgs, seams_svg
from planner.drawing.working.dimensions import Span, lane, says_in
from planner.measures import Length
from tests.planner.drawing.working.boards import SEEDS, looks_of, record_of, record_with, unit_of
from tests.planner.drawing.working.canvas import assert_words_have_room
from tests.planner.drawing.working.measured import Measured
from tests.support.each import each

ROOMS = {"paper": PAPER, "screen": SCREEN, "phone": PHONE}
POINT_MM = 25.4 / 72


@cache
def drawings(seed, room):
    return tuple(drawings_of(record_of(seed), unit_of(seed), room))


def drawings_of(record, unit, room):
    looks = looks_of(record)
    yield laid_svg(record, looks, unit, room=room)
    yield laid_svg(record, looks, unit, mirrored=True, room=room)
    yield from parts_svgs(record, looks, unit, room=room)
    yield seams_svg(record, looks, unit, room=room)


@each("room", ROOMS)
@each("seed", SEEDS)
def test_words_have_room_and_a_drawing_is_no_higher_than_its_page(seed, room):
    for svg in drawings(seed, ROOMS[room]):
        read = Measured(svg)
        assert_words_have_room(read)
        assert read.width == ROOMS[room].width and read.height <= ROOMS[room].high + 0.01


@each("along", ("rows", "columns"))
@each("size", ((1, 1), (1, 150), (150, 1), (100, 12), (12, 100)), ids=str)
def test_odd_boards_keep_to_their_page_too(size, along):
    """One tile; a single row; a single column; far wider than high, and higher than wide."""
    rows = [[("walnut-black", "beech", "padauk")[(x + 2 * y) % 3] for x in range(size[1])] for y in range(size[0])]
    record = record_with(rows, "deep", along, end_border=0)
    for room in ROOMS.values():
        for svg in drawings_of(record, "in", room):
            read = Measured(svg)
            assert_words_have_room(read)
            assert read.height <= room.high + 0.01


@each("seed", SEEDS)
def test_type_is_as_large_on_paper_as_it_is_read_at_arm_s_length_and_on_a_phone_as_a_page_s_text(seed):
    for svg in drawings(seed, PAPER):
        assert min(Measured(svg).sizes()) / POINT_MM >= 10.4
    for svg in drawings(seed, PHONE):
        assert min(Measured(svg).sizes()) >= 13


@each("room", ROOMS)
@each("seed", SEEDS)
def test_a_drawing_is_one_path_a_wood_however_many_pieces_and_says_itself_in_words(seed, room):
    for svg in drawings(seed, ROOMS[room]):
        read = Measured(svg)
        woods = [kind for kind in read.kinds() if kind.split()[0] in ("wood", "mark", "trim")]
        assert len(woods) == len(set(woods))
        assert "style=" not in svg and "<script" not in svg and "url(" not in svg
        assert read.root.get("role") == "img" and read.root.get("aria-label") and read.said


@each("unit", ("mm", "in"))
@each("scale", (0.02, 0.1, 0.5, 1, 3))
def test_words_of_dimensions_never_meet_however_short_their_lines(unit, scale):
    """A chain of three and one of a border too narrow for any word."""
    for sizes in ((5, 60, 5), (1, 2, 1), (30, 400, 30), (12, 1, 12)):
        spans, at = [], Length.ZERO.mm
        for size in sizes:
            spans.append(Span("x", at, at + size, ("border",)))
            at += size
        made = lane(spans, scale, says_in(unit), 3.7)
        boxes = [(label.at, label.end(3.7), label.row) for label in made.labels]
        for one, other in combinations(boxes, 2):
            assert one[2] != other[2] or one[1] <= other[0] or other[1] <= one[0]
        assert {label.text.split(" ")[-1] for label in made.labels} >= {says_in(unit)(spans[0].mm).split(" ")[-1]}


def test_names_are_escaped():
    record = record_of(0)
    looks = {wood: type(look)('<"&wood', look.rgb, look.mark) for wood, look in looks_of(record).items()}
    for svg in (laid_svg(record, looks, "mm"), seams_svg(record, looks, "mm"), *parts_svgs(record, looks, "mm")):
        Measured(svg)
        assert '<"&wood' not in svg
    assert '<"&wood' in " ".join(Measured(laid_svg(record, looks, "mm", title='<"&wood')).texts())
