"""Working drawings in grey: neighbouring woods are told apart by a joint line and by their marks, whatever their tones;
every mark and word stands out from what it lies on, on white paper and on a dark screen."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from itertools import combinations, pairwise

from planner.drawing import MARKS, WoodLook, luminance
from planner.drawing.looks import DARK_INK, LIGHT_INK
from planner.drawing.marking import PAPER, PHONE
from planner.drawing.working import laid_svg, money_svg, parts_svgs, seams_svg, setup_svg, timetable_svgs
from planner.drawing.working.woods import inked
from planner.gluing import find_timetable
from planner.woods import WOODS
from tests.planner.drawing.working.boards import SEEDS, looks_of, record_of, record_with, unit_of
from tests.planner.drawing.working.measured import Measured
from tests.planner.drawing.working.painted import PAGES, Painted, contrast, polygons, rgb_of
from tests.planner.drawing.working.test_setups import ALL, BLADES, LOOKS
from tests.support.each import each
from tests.support.glue_boards import ALL_AROUND, board, work

# WCAG 2.2: text 4.5 to 1 (1.4.3), what graphics are told by 3 to 1 (1.4.11).
TEXT, GRAPHICS = 4.5, 3
ROOMS = {"paper": PAPER, "phone": PHONE}


@cache
def timetables(room):
    glue = work(board(8), around=ALL_AROUND)
    found = find_timetable(glue.work, steps=10)
    return timetable_svgs(glue, found, lambda after: str(date(2026, 11, 30) + timedelta(days=after)), room=room)


@cache
def drawings(room):
    """Every kind of working drawing, of boards of every method."""
    return tuple(_drawings(room))


def _drawings(room):
    for seed in range(0, len(SEEDS), 3):
        record, unit = record_of(seed), unit_of(seed)
        looks = looks_of(record)
        for mirrored in (False, True):
            yield "laid", laid_svg(record, looks, unit, mirrored=mirrored, room=room)
        yield from (("parts", svg) for svg in parts_svgs(record, looks, unit, room=room))
        yield "seams", seams_svg(record, looks, unit, room=room)
        yield "money", money_svg(record, looks, lambda amount: f"$ {amount}", room=room)
    for one in ALL:
        step, unit = one.values
        yield "setup", setup_svg(step, LOOKS, unit, BLADES, room=room)
    yield from (("timetable", svg) for svg in timetables(room))


@each("wood", WOODS.values(), ids=lambda wood: wood.id)
def test_the_ink_on_every_wood_stands_out_and_the_wood_is_hardly_another(wood):
    look = WoodLook(wood.name, wood.finished_rgb, "ring")
    drawn = inked(look)
    assert contrast(drawn.rgb, drawn.ink) >= TEXT
    if contrast(look.rgb, look.ink) >= TEXT:
        assert drawn == look
    # As little lighter or darker as that takes: the two inks leave a narrow band of woods that neither can be read on.
    assert abs(luminance(drawn.rgb) - luminance(look.rgb)) < 0.09


def test_woods_of_every_tone_between_black_and_white_can_bear_a_mark():
    for tone in range(256):
        drawn = inked(WoodLook("A wood", (tone, tone, tone), "bar"))
        assert contrast(drawn.rgb, drawn.ink) >= TEXT


@each("room", ROOMS)
def test_words_on_the_page_have_the_page_s_ink_and_words_on_a_ground_stand_out_from_it(room):
    """What has the page's ink turns light on a dark screen, and must lie on nothing that stays light."""
    looked_at = set()
    for kind, svg in drawings(ROOMS[room]):
        looked_at.add(kind)
        for text, ink, ground in Painted(svg).words():
            if ground is None:
                assert ink == "currentColor", (kind, text, ink)
                assert all(contrast(*page) >= TEXT for page in PAGES.values())
            else:
                assert ink.startswith("#") and ground.startswith("#"), (kind, text, ink, ground)
                assert contrast(ink, ground) >= TEXT, (kind, text, ink, ground)
    assert looked_at == {"laid", "parts", "seams", "money", "setup", "timetable"}


@each("room", ROOMS)
def test_marks_stand_out_from_what_they_lie_on(room):
    looked_at = set()
    for kind, svg in drawings(ROOMS[room]):
        painted = Painted(svg)
        for path in painted.root.iter():
            if _kind(path).startswith(("mark", "trim ")) and path.get("stroke"):
                for shape in polygons(path.get("d")):
                    (ax, ay), (bx, by) = shape[:2]
                    ground = painted.under((ax + bx) / 2, (ay + by) / 2)
                    assert contrast(path.get("stroke"), ground) >= TEXT, (kind, path.get("data-kind"), ground)
                    looked_at.add(kind)
    assert looked_at >= {"laid", "parts", "money", "setup"}


def _kind(element) -> str:
    return element.get("data-kind") or ""


def neighbours(boxes):
    """Pairs of pieces of different woods that share an edge: (wood, wood, upright?, where, from, to)."""
    edges = {}
    for wood, pieces in boxes.items():
        for x, y, long, wide in pieces:
            for at in (x, x + long):
                edges.setdefault((True, round(at, 1)), []).append((y, y + wide, wood))
            for at in (y, y + wide):
                edges.setdefault((False, round(at, 1)), []).append((x, x + long, wood))
    for (upright, at), stretches in edges.items():
        for (a, b, one), (c, d, other) in combinations(stretches, 2):
            if one != other and min(b, d) - max(a, c) > 0.5:
                yield one, other, upright, at, max(a, c), min(b, d)


@each("mirrored", (False, True))
@each("seed", lambda: [seed for seed in SEEDS if len(record_of(seed)["laid"]) < 16][:12])
def test_between_neighbouring_woods_runs_a_joint_line_that_is_seen_on_both(seed, mirrored):
    record = record_of(seed)
    read = Measured(laid_svg(record, looks_of(record), unit_of(seed), mirrored=mirrored))
    under, over = read.paths("joints")
    # A dark line on a wider light one, in the order they are painted: one of the two stands out from any wood.
    assert under.get("data-under") and float(under.get("stroke-width")) > 2 * float(over.get("stroke-width"))
    assert under.get("d") == over.get("d") and contrast(under.get("stroke"), over.get("stroke")) >= TEXT
    for wood in read.root.iter():
        if _kind(wood).startswith("wood "):
            assert max(contrast(line.get("stroke"), wood.get("fill")) for line in (under, over)) >= GRAPHICS
    uprights, levels = _joints(over.get("d"), read)
    found = 0
    for one, other, upright, at, begin, end in neighbours(read.wood()):
        lines = uprights if upright else levels
        assert any(abs(place - at) < 0.15 and low < begin + 0.2 and high > end - 0.2 for place, low, high in lines), (
            one,
            other,
            upright,
            at,
        )
        found += 1
    assert found or len(record["woods"]) == 1 or len(read.wood()) == 1


def _joints(d, read):
    """The lines across the board and along it, in millimetres: (where, from, to)."""
    uprights, levels = [], []
    for shape in polygons(d):
        for (ax, ay), (bx, by) in pairwise(shape):
            a, b = (ax - read.left) / read.scale, (bx - read.left) / read.scale
            c, e = (ay - read.top) / read.scale, (by - read.top) / read.scale
            if abs(a - b) < 1e-6:
                uprights.append((a, min(c, e), max(c, e)))
            else:
                levels.append((c, min(a, b), max(a, b)))
    return uprights, levels


@each("room", ROOMS)
@each("seed", SEEDS)
def test_every_piece_bears_the_mark_of_its_wood_and_one_wood_goes_without(seed, room):
    """So that two woods of one grey are told apart: marks differ, and what bears none is the borders' wood."""
    record = record_of(seed)
    looks = looks_of(record)
    read = Measured(laid_svg(record, looks, unit_of(seed), room=ROOMS[room]))
    assert len({look.mark for look in looks.values()}) == len(looks)
    boxes = read.wood()
    bare = {wood for wood in boxes if not read.paths(f"mark {wood}")}
    if any("a mark stands on an area of its wood" in text for text in read.texts()):
        assert_marks_lie_on_their_woods(read, boxes)
        return
    assert len(bare) <= 1 and bare <= {record["spec"]["border_wood"]}
    told = {
        wood for wood in boxes for text in read.texts() if f"{looks[wood].name}, " in text and "without its" in text
    }
    assert told == bare
    for wood, pieces in boxes.items():
        if wood in bare:
            continue
        corners = corners_of_marks(read, wood)
        for x, y, long, wide in pieces:
            inside = [(a, b) for a, b in corners if x < a < x + long and y < b < y + wide]
            assert len(inside) >= sum(len(line) for line in MARKS[looks[wood].mark]), (wood, x, y)


def corners_of_marks(read, wood):
    """In millimetres of the blank."""
    return [
        ((x - read.left) / read.scale, (y - read.top) / read.scale)
        for path in read.paths(f"mark {wood}")
        for shape in polygons(path.get("d"))
        for x, y in shape
    ]


def assert_marks_lie_on_their_woods(read, boxes):
    for wood, pieces in boxes.items():
        for x, y in corners_of_marks(read, wood):
            assert any(a <= x <= a + long and b <= y <= b + wide for a, b, long, wide in pieces), (wood, x, y)


@each("along", ("rows", "columns"))
@each("mirrored", (False, True))
def test_where_tiles_are_too_small_for_marks_areas_of_a_wood_bear_them(mirrored, along):
    """A hundred and fifty rows and as many columns on a page: areas of four by six tiles."""
    woods = ("walnut-black", "beech", "padauk", "sapele", None)
    rows = [[woods[(x // 6 + 3 * (y // 4)) % 5] for x in range(150)] for y in range(150)]
    record = record_with(rows, along=along)
    read = Measured(laid_svg(record, looks_of(record), "mm", mirrored=mirrored))
    assert any("a mark stands on an area of its wood" in text for text in read.texts())
    boxes = read.wood()
    assert_marks_lie_on_their_woods(read, boxes)
    for wood in woods:
        # Every area has room for one, and those that meet at a corner may share it.
        marks = len(corners_of_marks(read, wood)) / sum(map(len, MARKS[looks_of(record)[wood].mark])) if wood else 0
        assert not wood or marks > 150 * 150 / 5 / 24 / 3
    assert not read.paths("mark sycamore")


@each("seed", lambda: [seed for seed in SEEDS if record_of(seed)["seams"]])
def test_seams_stand_out_from_the_pale_woods_they_cross(seed):
    record = record_of(seed)
    read = Measured(seams_svg(record, looks_of(record), unit_of(seed)))
    woods = [path.get("fill") for path in read.root.iter() if _kind(path).startswith("wood ")]
    for kind in (*(f"seam {n}" for n in range(4)), "barbs", "outline"):
        for path in read.paths(kind):
            assert all(contrast(path.get("stroke"), wood) >= TEXT for wood in woods)


def test_bars_of_seams_are_told_apart_by_tone():
    tones = {}
    for seed in SEEDS:
        record = record_of(seed)
        read = Measured(seams_svg(record, looks_of(record), unit_of(seed)))
        shares = {seam["column"]: Fraction(seam["share"]) for seam in record["seams"]}
        for bar in read.paths("carried"):
            tones.setdefault(min(int(shares[int(bar.get("data-column"))] * 4), 3), set()).add(bar.get("fill"))
    assert [len(tones[kind]) for kind in range(4)] == [1] * 4
    grey = [luminance(rgb_of(tones[kind].copy().pop())) for kind in range(4)]
    assert all(light > dark * 1.5 for dark, light in pairwise(grey))


def test_the_two_inks_stand_out_from_each_other():
    assert contrast(DARK_INK, LIGHT_INK) >= 7
