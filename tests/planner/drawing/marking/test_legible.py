"""Marking-out drawings can be read: no words on each other, dark lines on light wood, in grey as in colour."""

from __future__ import annotations

from functools import cache
from itertools import combinations
from xml.etree import ElementTree

from planner.drawing import WoodLook, luminance
from planner.drawing.looks import DARK_INK
from planner.drawing.marking import PAPER, PHONE, SCREEN, board_marking_svg, key_svgs, layer_marking_svgs
from planner.drawing.marking.flags import flags
from planner.drawing.marking.ink import part_fill, rest_fill
from planner.drawing.marking.letters import wide
from planner.woods import WOODS
from tests.planner.drawing.marking.svg import Read, advance
from tests.planner.drawing.marking.test_measured_back import SEEDS, given
from tests.support.cut_drawn import drawn_board
from tests.support.each import each

ROOMS = (PAPER, SCREEN, PHONE)
INK = tuple(bytes.fromhex(DARK_INK[1:]))


@cache
def drawings(seed):
    return tuple(_drawings(seed))


def _drawings(seed):
    one = drawn_board(seed)
    for room in ROOMS:
        yield board_marking_svg(*given(one), writes=one.writes, room=room)
        for layer in layer_marking_svgs(*given(one), writes=one.writes, room=room):
            yield layer.svg


@each("seed", SEEDS)
def test_no_words_lie_on_each_other_nor_leave_the_sheet(seed):
    """Boxes by the font's own widths."""
    for svg in drawings(seed):
        read = Read(svg)
        words = read.words()
        for word in words:
            assert word.left > -0.01 and word.right < read.width + 0.01, word
            assert word.top > -0.01 and word.bottom < read.height + 0.01, word
        for one, other in combinations(words, 2):
            apart = one.right <= other.left or other.right <= one.left
            assert apart or one.bottom <= other.top or other.bottom <= one.top, (one, other)


def test_of_forty_different_strips_some_are_named_in_the_drawing_and_all_in_its_words():
    one = next(one for one in map(drawn_board, SEEDS) if max(len(r.strips) for r in one.cut.rough) == 40)
    n = next(n for n, r in enumerate(one.cut.rough, 1) if len(r.strips) == 40)
    name = f"{one.cut.board}-{n}"
    (svg,) = (layer.svg for layer in layer_marking_svgs(*given(one)) if layer.name == name)
    told = ElementTree.fromstring(svg).find("{http://www.w3.org/2000/svg}desc").text
    assert f"{n}.40: " in told and told.count("wide") <= 40
    assert f"{n}.1" in " ".join(word.text for word in Read(svg).words())


@each("seed", [3, 6, 11, 14, 22])
def test_a_drawing_is_one_path_a_kind_however_many_parts(seed):
    for svg in drawings(seed):
        kinds = Read(svg).kinds()
        assert len(kinds) == len(set(kinds)) <= 16
        assert "style=" not in svg and "<script" not in svg and len(svg) < 200_000


@each("wood", WOODS.values(), ids=lambda wood: wood.id)
def test_words_and_kerfs_stand_out_from_every_wood_in_grey(wood):
    """WCAG 2.2: text 4.5 to 1 (1.4.3), graphics 3 to 1 (1.4.11). Grey is luminance, which contrast is reckoned from."""
    look = WoodLook(wood.name, wood.finished_rgb, "ring")
    for fill in (part_fill(look), rest_fill(look)):
        assert (luminance(fill) + 0.05) / (luminance(INK) + 0.05) >= 4.5
    # Parts and what becomes none are told apart by a dark line between them and by hatches; by tone as well.
    assert luminance(rest_fill(look)) > luminance(part_fill(look)) * 1.05


def test_a_light_wood_is_drawn_as_it_is_oiled():
    sycamore = WOODS["sycamore"]
    assert part_fill(WoodLook(sycamore.name, sycamore.finished_rgb, "ring")) == sycamore.finished_rgb


@each("seed", range(0, 40, 5))
def test_every_part_is_bounded_by_dark_lines_on_all_sides(seed):
    """Kerfs, the line of the straight edge or the outline: never tone alone."""
    one = drawn_board(seed)
    for layer in layer_marking_svgs(*given(one)):
        read = Read(layer.svg)
        kerf = one.rules.rip_kerf * float(one.unit.mm)
        cross = one.rules.crosscut_kerf * float(one.unit.mm)
        level = [y for kind in ("rips", "edges") for y, _, _ in read.levels(kind)]
        level += [y for _, top, _, low in read.boxes("outline") for y in (top, low)]
        upright = [x for x, _, _ in read.uprights("crosscuts")]
        upright += [x for left, _, right, _ in read.boxes("outline") for x in (left, right)]
        for left, top, right, low in read.boxes("parts"):
            for y in (top, low):
                assert any(abs(y - at) < kerf + 0.1 for at in level), y
            for x in (left, right):
                assert any(abs(x - at) < cross + 0.1 for at in upright), x


def test_widths_are_those_of_the_font_and_never_less():
    for text in ("WAL12-2.3 – 2.6", "14 × 19.9", "12 3/8", "offcut 62 × 560", "Drawn 1 : 12.5, twice", "SYCAMORE104"):
        for bold in (False, True):
            real = advance(text, bold)
            assert real <= wide(text, 1) < real * 1.15


def test_flags_never_cross_words_of_others():
    places = [(10.0, "a long word"), (20.0, "b"), (22.0, "another one"), (60.0, "c")]
    made = flags(places, 4, 1)
    for one in made:
        for other in made:
            covers = other.x - wide(other.text, 4) < one.x < other.x
            assert not (covers and one.row >= other.row), (one, other)


def test_what_the_hatches_mean_is_told_for_all_of_them():
    look = WoodLook("Beech", WOODS["beech"].finished_rgb, "bar")
    key = dict(key_svgs(look))
    assert len(key) == 5 and all(ElementTree.fromstring(svg).get("aria-label") for svg in key.values())


def test_names_are_escaped_and_a_drawing_says_what_it_is():
    one = drawn_board(0)
    look = WoodLook('<"&wood', (90, 60, 40), "bar")
    svg = board_marking_svg(one.cut, one.board, one.rules, one.unit, look)
    root = ElementTree.fromstring(svg)
    assert '<"&wood' in root.get("aria-label") and root.get("role") == "img"
    told = root.find("{http://www.w3.org/2000/svg}desc").text
    for n, _ in enumerate(one.cut.rough, 1):
        assert f"{one.cut.board}-{n} from " in told
