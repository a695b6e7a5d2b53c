"""Set-ups measured back from their drawings: fence, stop, spacer, kerf and parts as the plan has them; nothing loose
between blade and stop."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from planner.cutting.plan import BoardCut, CutJob, Part, RoughCut, StockBoard, StripCut
from planner.cutting.setups import set_ups
from planner.drawing import WoodLook
from planner.drawing.marking import PAPER, PHONE, SCREEN
from planner.drawing.working.machines import Blades
from planner.drawing.working.setups import machine_svg, setup_svg
from planner.hours import DEFAULT_TIMES
from planner.measures import ZERO, format_length
from planner.woods import WOODS
from tests.planner.cutting.setups.jobs import inch, mm, planned, shop_of, small, unit_in
from tests.planner.cutting.setups.test_layers_edges_and_pairs import resawn
from tests.planner.drawing.marking.svg import SVG
from tests.planner.drawing.working.canvas import Drawn, assert_words_have_room
from tests.support.each import each

ROOMS = {"paper": PAPER, "screen": SCREEN, "phone": PHONE}
LOOKS = {"walnut": WoodLook("Black walnut", WOODS["walnut-black"].finished_rgb, "ring")}
BLADES = Blades(mm(3), mm(3), mm(2))
CLOSE = 0.05


def steps_of(file, **shop):
    given = shop_of(file.job.rules, unit_in(file), **shop)
    return set_ups(file, given, DEFAULT_TIMES, spares=(3, *[0] * (len(file.job.parts) - 1))).steps


def inches():
    """In 64ths: a strip and three lengths of part, of sizes that are fractions."""
    rules = replace(
        small().job.rules,
        crosscut_kerf=8, rip_kerf=8, end_trim=64, edge_trim=8, snipe=64, grip=256, longest_rip=3072, grid=16,
        keep_length=800, keep_width=80, over_width=1, shortest_rough=800, narrowest=30, thinnest=16,
    )  # fmt: skip
    parts = (
        Part("walnut", 53, 48, 51, 10, "tile"),
        Part("walnut", 53, 48, 307, 1, "run of 6 tiles"),
        Part("walnut", 53, 48, 803, 1, "top or bottom border"),
    )
    board = StockBoard("WAL1", "walnut", 400, 5000, 56, 1000, 1)
    strips = (StripCut(53, ((803, 1),)), StripCut(53, ((307, 1), (51, 10))))
    return planned(CutJob(parts, (board,), rules), (BoardCut("WAL1", (RoughCut(1504, 48, strips, 64),)),), "1/64 in")


SETS = {
    "by hand": [(step, "mm") for step in steps_of(small())],
    "no spacer": [(step, "mm") for step in steps_of(small(), stand_off=ZERO)],
    "resawn": [(step, "mm") for step in steps_of(resawn())],
    "inches": [(step, "in") for step in steps_of(inches(), unit="in", stand_off=inch(1), saw_scale=inch("1/32"))],
    "below limits": [(step, "mm") for step in steps_of(small(), shortest_machined=mm(501), grip=mm(400))],
}
ALL = [
    pytest.param(step, unit, id=f"{name}, {step.number} {step.kind}")
    for name, some in SETS.items()
    for step, unit in some
]
AT_MACHINE = [one for one in ALL if not one.values[0].instead]
WITH_STOP = [one for one in AT_MACHINE if one.values[0].kind == "part"]


def drawn(step, unit="mm", room=PAPER, **given) -> Drawn:
    return Drawn(setup_svg(step, LOOKS, unit, BLADES, room=room, **given))


def measured(one: Drawn) -> dict[str, list[tuple[Fraction, float, float, float]]]:
    """Of every dimension by its name: what it says it is, what it measures, and from where to where, in millimetres."""
    scale = float(one.data("scale"))
    found: dict[str, list] = {}
    for path in one.root.iter(f"{SVG}path"):
        if path.get("data-kind") == "dimension":
            x, y, way, long = re.match(r"M([-\d.]+) ([-\d.]+)([hv])([-\d.]+)", path.get("d")).groups()
            at = float(x if way == "h" else y)
            found.setdefault(path.get("data-of"), []).append(
                (Fraction(path.get("data-mm")), float(long) / scale, at, at + float(long))
            )
    return found


def extents(one: Drawn, kind: str) -> list[tuple[float, float, float, float]]:
    """Left, top, right and low of every shape of a kind."""
    path = one.path(kind)
    found = []
    for shape in re.findall(r"M[^zM]+z?", path.get("d") if path is not None else ""):
        if "h" in shape:
            x, y, long, high = map(float, re.match(r"M([-\d.]+) ([-\d.]+)h([-\d.]+)v([-\d.]+)", shape).groups())
            found.append((x, y, x + long, y + high))
        else:
            points = [tuple(map(float, one.split())) for one in re.split(r"[MLz]", shape) if one]
            xs, ys = zip(*points, strict=True)
            found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


@each("room", ROOMS.values(), ids=ROOMS)
@each(("step", "unit"), AT_MACHINE)
def test_every_dimension_measures_what_it_says(step, unit, room):
    found = measured(drawn(step, unit, room))
    assert found
    for some in found.values():
        for said, is_, _, _ in some:
            assert is_ == pytest.approx(float(said), abs=CLOSE)


def one_of(found, name):
    ((said, _, begin, end),) = found[name]
    return said, begin, end


@each(("step", "unit"), WITH_STOP)
def test_a_stop_stands_at_its_distance_with_the_part_and_the_spacer_in_it(step, unit):
    one = drawn(step, unit)
    found = measured(one)
    (setting,) = step.settings
    stop, near, at = one_of(found, "stop")
    part, begins, ends = one_of(found, "part")
    assert stop == setting.exact.mm and part == step.cuts[0].length.mm
    assert one_of(found, "kerf")[0] == BLADES.crosscut.mm
    assert one_of(found, "width")[0] == step.cuts[0].width.mm
    assert begins == pytest.approx(near, abs=CLOSE)
    if setting.spacer.mm:
        spacer, _, last = one_of(found, "spacer")
        assert spacer == setting.spacer.mm and part + spacer == stop and last == pytest.approx(at, abs=CLOSE)
    else:
        assert part == stop and "spacer" not in found
    # The blade lies on the side of what is held, and its near side is where all is measured from.
    ((left, _, right, _),) = extents(one, "blade")
    assert right == pytest.approx(near, abs=CLOSE)
    assert (right - left) / float(one.data("scale")) == pytest.approx(float(BLADES.crosscut.mm), abs=CLOSE)
    del ends


@each("room", ROOMS.values(), ids=ROOMS)
@each(("step", "unit"), WITH_STOP)
def test_nothing_is_ever_loose_between_blade_and_stop(step, unit, room):
    """The one piece there is held, and between it and the stop is the spacer's room, or no stop at all."""
    one = drawn(step, unit, room)
    scale = float(one.data("scale"))
    _, near, at = one_of(measured(one), "stop")
    between = [box for box in extents(one, "wood") if box[2] > near + CLOSE]
    assert len(between) == 1 and not extents(one, "waste")
    ((left, top, right, low),) = between
    holds = extents(one, "holds")
    assert any(left < hold[0] and hold[2] < right and hold[1] < top and hold[3] > low for hold in holds)
    assert any(hold[2] < near for hold in holds)
    spacer = float(step.settings[0].spacer.mm)
    # Whatever of the machine stands at the height of the wood, right of the blade, is the stop.
    stops = [box for box in extents(one, "fixed") if box[0] > near and box[3] > top + CLOSE]
    if spacer:
        assert [box[0] for box in stops] == [pytest.approx(at, abs=CLOSE)]
        assert (stops[0][0] - right) / scale == pytest.approx(spacer, abs=CLOSE)
        assert extents(one, "spacer")
    else:
        assert not stops and "swung away before the cut" in one.said


@each("room", ROOMS.values(), ids=ROOMS)
def test_a_strip_is_squared_at_its_mark_without_a_stop_and_the_waste_is_free(room):
    (step,) = (step for step, _ in SETS["by hand"] if step.kind == "square")
    one = drawn(step, room=room)
    said, mark, front = one_of(measured(one), "mark")
    assert said == 25
    ((left, _, right, _),) = extents(one, "blade")
    ((waste, top, end, _),) = extents(one, "waste")
    # The blade runs on the waste side of the mark.
    assert left == pytest.approx(mark, abs=CLOSE) and waste == pytest.approx(right, abs=CLOSE)
    assert end == pytest.approx(front, abs=CLOSE)
    assert not [box for box in extents(one, "fixed") if box[0] > right and box[3] > top + CLOSE]
    assert "No stop" in one.said


@each("room", ROOMS.values(), ids=ROOMS)
@each("name", ["by hand", "inches"])
def test_a_strip_is_what_runs_between_blade_and_fence(name, room):
    for step, unit in SETS[name]:
        if step.kind != "rip":
            continue
        one = drawn(step, unit, room)
        said, near, fence = one_of(measured(one), "fence")
        assert said == step.settings[0].exact.mm == step.cuts[0].width.mm
        assert any(box[0] == pytest.approx(fence, abs=CLOSE) for box in extents(one, "fixed"))
        assert any(
            box[0] == pytest.approx(near, abs=CLOSE) and box[2] == pytest.approx(fence, abs=CLOSE)
            for box in extents(one, "wood")
        )
        assert "push" in one.texts() and "stick" in one.texts()


def test_a_rough_length_is_sawn_beside_its_marks():
    """By hand: 600 from 25, 500 from 628, what goes back from 1131, and a cut of 3 beside each of them."""
    (step,) = (step for step, _ in SETS["by hand"] if step.kind == "rough")
    one = drawn(step)
    found = measured(one)
    lengths = [found[name][0][0] for name in ("WAL1-1", "WAL1-2", "WAL1-3")]
    assert lengths == [600, 500, 844]
    assert sorted(mark[0] for mark in found["mark"]) == [25, 625, 628, 1128, 1131, 1975]
    assert len(extents(one, "blade")) == step.passes
    scale = float(one.data("scale"))
    zero = found["mark"][0][2]
    kerfs = sorted(((left - zero) / scale, (right - zero) / scale) for left, _, right, _ in extents(one, "blade"))
    assert kerfs == [pytest.approx(one, abs=CLOSE) for one in [(22, 25), (625, 628), (1128, 1131), (1975, 1978)]]


def test_both_layers_of_a_resawn_length_are_kept():
    (step,) = (step for step, _ in SETS["resawn"] if step.kind == "resaw")
    one = drawn(step)
    assert one_of(measured(one), "layer")[0] == step.settings[0].exact.mm
    assert len([text for text in one.texts() if text in ("keep", "keep this layer", "keep this layer too")]) == 2


@each(("step", "unit"), [one for one in AT_MACHINE if one.values[0].kind in ("plane", "gauge")])
def test_a_thickness_is_measured_where_the_cutters_have_been(step, unit):
    found = measured(drawn(step, unit))
    assert one_of(found, "thickness" if step.kind == "plane" else "width")[0] == step.settings[0].exact.mm


@each(("step", "unit"), ALL)
def test_the_setting_the_counts_and_the_sizes_are_written_in_the_maker_s_unit(step, unit):
    words = re.sub("[\u00a0 ]+", " ", " ".join(drawn(step, unit).texts()))
    if not step.instead:
        for setting in step.settings:
            assert format_length(setting.exact, unit) in words
            if setting.off:
                assert f"{format_length(setting.set_to, unit)} on the scale" in words
    count = sum(cut.count for cut in step.cuts)
    assert re.search(rf"\b{count} (part|strip|piece|length|rough length)s?\b", words)
    if step.kind in ("rough", "rip", "square", "part") and not step.instead:
        assert re.search(rf"\b{step.passes} cuts?\b", words)
    for cut in step.cuts:
        sizes = [cut.length, cut.width, *([cut.thickness] if cut.thickness.mm else [])]
        assert " × ".join(format_length(size, unit, with_unit=False) for size in sizes) in words
    spares = sum(cut.spares for cut in step.cuts)
    assert not spares or f"{spares} of them spare" in words


@each(("step", "unit"), ALL)
def test_its_cautions_stand_on_it_and_the_manual_comes_first(step, unit):
    words = " ".join(drawn(step, unit).texts())
    for caution in step.cautions:
        assert caution.words in words
    for note in step.notes:
        assert re.sub("[\u00a0 ]+", " ", note) in re.sub("[\u00a0 ]+", " ", words)
    brief = " ".join(drawn(step, unit, brief=True).texts())
    said = [caution.words for caution in step.cautions if "manual" in caution.words]
    assert said and all(sentence in brief for sentence in said)


def test_what_is_kept_from_a_machine_is_not_drawn_at_it():
    barred = [(step, unit) for step, unit in SETS["below limits"] if step.instead]
    assert {step.kind for step, _ in barred} >= {"joint", "rip", "part"}
    for step, unit in barred:
        one = drawn(step, unit)
        assert one.data("scale") is None and not extents(one, "blade") and not extents(one, "fixed")
        assert step.instead in " ".join(one.texts()) and step.instead in one.said


@each("room", ROOMS.values(), ids=ROOMS)
@each(("step", "unit"), ALL)
def test_words_have_room_and_a_drawing_is_plain(step, unit, room):
    one = drawn(step, unit, room)
    level = [text for text in one.root.iter(f"{SVG}text") if not text.get("transform")]
    for text in [text for text in one.root.iter(f"{SVG}text") if text.get("transform")]:
        _drop(one.root, text)
    assert level
    assert_words_have_room(one)
    kinds = [kind for kind in one.kinds() if kind != "dimension"]
    assert len(kinds) == len(set(kinds))
    assert "style=" not in one.svg and "<script" not in one.svg and "url(" not in one.svg
    assert one.root.get("role") == "img" and one.root.get("aria-label") and one.said
    if room is PAPER:
        assert one.height <= room.high


def _drop(root, text) -> None:
    for parent in root.iter():
        if text in list(parent):
            parent.remove(text)


def test_a_shop_s_own_words_for_machines_are_used():
    (step,) = (step for step, _ in SETS["by hand"] if step.kind == "plane")
    texts = drawn(step, words=lambda text: text.replace("planer", "thicknesser")).texts()
    assert "thicknesser" in texts[0]


def test_an_unknown_wood_is_still_drawn():
    (step,) = (step for step, _ in SETS["by hand"] if step.kind == "rough")
    assert "walnut" in " ".join(Drawn(setup_svg(step, {}, "mm", BLADES)).texts())


@each(("step", "unit"), AT_MACHINE)
def test_a_machine_by_itself_has_every_dimension_of_its_set_up_and_none_of_its_lists(step, unit):
    alone, whole = Drawn(machine_svg(step, LOOKS, unit, BLADES)), drawn(step, unit)
    sizes = [
        {name: [(said, long) for said, long, *_ in ones] for name, ones in measured(one).items()}
        for one in (alone, whole)
    ]
    assert sizes[0] == sizes[1]
    assert float(alone.data("scale")) == float(whole.data("scale"))
    assert len(alone.texts()) < len(whole.texts()) and "manual" not in " ".join(alone.texts())
    assert_words_have_room(alone)


def test_what_is_kept_from_its_machine_has_none_by_itself():
    kept_off = [one.values[0] for one in ALL if one.values[0].instead]
    assert kept_off and all(machine_svg(step, LOOKS, "mm", BLADES) == "" for step in kept_off)
