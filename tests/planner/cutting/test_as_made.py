"""A measured tile or dry row takes the nominal size's place, and every size that follows is reckoned anew."""

from fractions import Fraction

import pytest

from planner.build import BoardSpec, build
from planner.cutting.asmade import AsMadeError, Measured, remeasured, stops_as_made
from planner.cutting.setups import Setting, SetUp, SetUps
from planner.figures import Figure
from planner.measures import Length
from planner.pattern import Pattern
from planner.shop import Shop

mm, inch = Length.of_mm, Length.of_inches
WALNUT, PADAUK = "walnut-black", "padauk"
CELLS = [[None, WALNUT, WALNUT, None], [None, WALNUT, PADAUK, None], [None, None, PADAUK, None]]
PATTERN = Pattern.of(CELLS)
SHOP = Shop()
PITCH, SIDE, END = mm(20), mm(40), mm(30)


def board_of(pitch=PITCH, method="runs", side=SIDE, end=END, pattern=PATTERN):
    return build(pattern, BoardSpec("wall", pitch, mm(20), side, end, method, 1, "sycamore"), method, SHOP)


def record_of(board):
    """The part of a kept reckoning that sizes stand in, as ``planner.record`` writes it."""

    def text(length):
        return str(length.mm)

    spec = board.spec
    return {
        "rows": board.pattern.height,
        "columns": board.pattern.width,
        "spec": {name: text(getattr(spec, name)) for name in ("pitch", "thickness", "side_border", "end_border")},
        "finished": [text(board.finished_length), text(board.finished_height), text(spec.thickness)],
        "blank": [text(board.blank_length), text(board.blank_height)],
        "laid": [{"number": row.number, "parts": list(row.parts)} for row in board.rows],
        "parts": [
            {
                "kind": part.kind,
                "wood": part.wood,
                "tiles": part.tiles,
                "deep": part.deep,
                "count": part.count,
                "place": [text(part.place_length), text(part.place_width)],
                "stages": {s.name: [text(s.length), text(s.width), text(s.thickness)] for s in part.stages},
            }
            for part in board.parts
        ],
    }


def lengths(made):
    return {(part.kind, part.tiles): part.crosscut for part in made.parts}


def test_a_tile_a_tenth_too_long_makes_everything_along_the_row_longer():
    """20 mm pitch, 0.1 mm glue: a tile is 19.9. It measures 20, so the pitch is 20.1."""
    made = remeasured(record_of(board_of()), Measured(mm(20)), SHOP)
    assert made.pitch.value == mm("20.1")
    assert lengths(made) == {
        ("tile", 1): mm(20),
        ("run", 2): mm("40.1"),  # 2 x 20.1 less one glue line
        ("side border", 1): mm("65.05"),  # 20.1 + 40 + 5 left long, less half a glue line
        ("side border", 2): mm("85.15"),  # 2 x 20.1 + 40 + 5, less half a glue line
        ("top or bottom border", 0): mm("170.4"),  # as long as a row: 4 x 20.1 + 2 x (40 + 5)
    }
    assert made.row_length.value == mm("170.4")
    assert made.field_length.value == mm("80.4")
    assert made.finished_length.value == mm("160.4")
    assert made.side_border.value == mm(40)
    # What lies across the rows was not measured and stays.
    assert (made.row_height.value, made.finished_height.value) == (mm(20), mm(120))


def test_stops_follow_with_the_stand_off_in_them():
    made = remeasured(record_of(board_of()), Measured(mm(20)), Shop(stand_off=mm(25)))
    assert {part.stop - part.crosscut for part in made.parts} == {mm(25)}
    (run,) = [part for part in made.parts if part.kind == "run"]
    assert (run.stop, run.set_to) == (mm("65.1"), mm(65))


def test_the_stops_of_kept_set_ups_follow_and_one_stop_becomes_two_where_lengths_part():
    """A run of two, 39.9, beside a side border of one tile that happened to be 39.9 long too: 20 of it are tile."""
    record = record_of(board_of(side=mm("14.95")))
    assert {"399/10"} == {p["stages"]["crosscut"][0] for p in record["parts"] if (p["kind"], p["tiles"]) in ALIKE}
    made = remeasured(record, Measured(mm(20)), SHOP)
    told = stops_as_made(kept_at("64.9", "44.9", "500"), made, SHOP)
    lines = [(one.step, one.was, one.stop, one.set_to) for one in told]
    assert lines == [
        # 2 x 20.1 - 0.1, and 39.9 + 0.1, each with 25 of stand-off.
        (1, mm("64.9"), mm("65.1"), mm(65)),
        (1, mm("64.9"), mm(65), mm(65)),
        (2, mm("44.9"), mm(45), mm(45)),
    ]
    assert [{made.parts[n].kind for n in one.parts} for one in told] == [{"run"}, {"side border"}, {"tile"}]


def test_stops_that_stay_are_not_told():
    made = remeasured(record_of(board_of()), Measured(mm("19.9")), SHOP)
    assert stops_as_made(kept_at("44.9"), made, SHOP) == ()


def test_a_length_the_cut_plan_rounded_up_is_found_again():
    made = remeasured(record_of(board_of()), Measured(mm(20)), SHOP)
    assert [one.stop for one in stops_as_made(kept_at("44.909"), made, SHOP)] == [mm(45)]
    assert stops_as_made(kept_at("44.91"), made, SHOP) == ()


ALIKE = (("run", 2), ("side border", 1))


def kept_at(*stops):
    """Set-ups of parts at these stops, 25 of stand-off in them."""
    none = Figure(Fraction(0), "min", "none")
    steps = []
    for n, stop in enumerate(stops, 1):
        steps.append(SetUp(n, "part", "sled", (Setting("stop", mm(stop), mm(stop), mm(25)),), (), 1, none))
    return SetUps(tuple(steps), none, none, none)


def test_a_dry_row_divides_what_it_is_off_among_its_tiles():
    # Two tiles of 19.9 would measure 39.8; 39.9 makes each 19.95 and the pitch 20.05.
    made = remeasured(record_of(board_of()), Measured(mm("39.9"), tiles=2, pieces=2), SHOP)
    assert made.pitch.value == mm("20.05")
    # One run of two has one glue line: 2 x 20 - 0.1 = 39.9 is what it should be.
    same = remeasured(record_of(board_of()), Measured(mm("39.9"), tiles=2, pieces=1), SHOP)
    assert same.pitch.value == mm(20)


def test_a_wider_strip_makes_the_board_higher():
    # 20 less 0.1 of glue, and 0.2 at each edge to dress: 20.3 gauged. It measures 20.5.
    made = remeasured(record_of(board_of()), Measured(mm("19.9"), width=mm("20.5")), SHOP)
    assert (made.pitch.value, made.row_height.value) == (mm(20), mm("20.2"))
    assert made.finished_height.value == mm("120.6")
    tile = next(part for part in made.parts if part.kind == "tile")
    assert {stage.name: stage.width for stage in tile.stages}["dressed"] == mm("20.1")
    border = next(part for part in made.parts if part.kind == "top or bottom border")
    assert border.stages[0].width == mm("30") + mm(3) - mm("0.05") + mm("0.2") + mm("0.5")


def test_the_size_can_be_kept_and_the_borders_make_up_for_it():
    measured = Measured(mm(20), width=mm("20.5"))
    made = remeasured(record_of(board_of()), measured, SHOP, keep="size")
    assert (made.finished_length.value, made.finished_height.value) == (mm(160), mm(120))
    # Four tiles are 0.4 too long, three rows 0.6 too high: half of it on either side.
    assert (made.side_border.value, made.end_border.value) == (mm("39.8"), mm("29.7"))
    assert made.row_length.value == mm(170)
    assert lengths(made)["side border", 1] == mm("64.85")
    assert lengths(made)["top or bottom border", 0] == mm(170)


@pytest.mark.parametrize("method", ["tiles", "runs"])
@pytest.mark.parametrize(("side", "end"), [(40, 30), (40, 0), (0, 30), (0, 0)])
@pytest.mark.parametrize("off", ["0.1", "-0.3", "1/7"])
def test_sizes_as_made_are_those_of_a_board_planned_at_the_measured_pitch(method, side, end, off):
    """The build itself, at the pitch that was measured, is the second opinion."""
    pattern = PATTERN if side else Pattern.of([[WALNUT, PADAUK, WALNUT], [PADAUK, PADAUK, WALNUT]])
    wider = mm(Fraction(off))
    planned = board_of(method=method, side=mm(side), end=mm(end), pattern=pattern)
    again = board_of(mm(20) + wider, method, mm(side), mm(end), pattern)
    measured = Measured(mm("19.9") + wider, width=gauged(planned) + wider)
    made = remeasured(record_of(planned), measured, SHOP)
    assert [part.stages for part in made.parts] == [part.stages for part in again.parts]
    assert made.finished_length.value == again.finished_length
    assert made.finished_height.value == again.finished_height
    assert made.row_length.value == again.blank_length


def test_every_row_follows_its_strip_a_deep_one_as_a_single_one():
    """Rows of 60 and 20 mm, gauged at a setting each: with strips 0.3 wider than they should be, two rows of 0.3."""
    pattern = Pattern.of([[WALNUT, PADAUK]] * 3 + [[PADAUK, WALNUT]])
    board = board_of(method="deep", side=mm(0), pattern=pattern)
    made = remeasured(record_of(board), Measured(mm("19.9"), width=gauged(board) + mm("0.3")), SHOP)
    assert made.finished_height.value == board.finished_height + mm("0.6")
    dressed = {part.deep: part.stages[3].width for part in made.parts if part.kind == "end tile"}
    # Less a glue line: the top and bottom borders lie on either side.
    assert dressed == {3: mm("60.2"), 1: mm("20.2")}


@pytest.mark.parametrize("keep", ["borders", "size"])
@pytest.mark.parametrize("method", ["tiles", "runs"])
def test_the_pieces_of_every_row_and_their_glue_are_as_long_as_the_row(method, keep):
    pattern = Pattern.of([[None] * 4, *CELLS])
    board = board_of(method=method, pattern=pattern)
    made = remeasured(record_of(board), Measured(mm("20.2")), SHOP, keep=keep)
    for row in board.rows:
        pieces = [made.parts[number].crosscut for number in row.parts]
        assert sum(pieces, mm(0)) + SHOP.glue_line * (len(pieces) - 1) == made.row_length.value
    assert any(part.kind == "through row" for part in made.parts)


def test_the_glue_line_is_found_where_every_piece_ends_its_row():
    """Two columns without side borders: each tile is glued at one end, and shorter than its place by half a line."""
    board = board_of(side=mm(0), pattern=Pattern.of([[WALNUT, PADAUK]]))
    made = remeasured(record_of(board), Measured(mm("19.9")), SHOP)
    assert made.pitch.value == mm(20)


def gauged(board):
    return min(part.stage("gauged").width for part in board.parts if part.tiles)


def test_thirds_of_an_inch_stay_exact():
    record = record_of(board_of(pitch=inch("3/4"), side=inch(2), end=inch(1)))
    nominal = inch("3/4") - mm("0.1")
    made = remeasured(record, Measured(nominal * 3 + inch("1/64"), tiles=3, pieces=3), SHOP)
    assert made.pitch.value == inch("3/4") + inch(Fraction(1, 192))


@pytest.mark.parametrize(
    ("measured", "keep", "field", "words"),
    [
        # 5 % of 19.9 is 0.995.
        (Measured(mm("20.8951")), "borders", "length", "measures 20.895 mm where 19.9 mm was planned"),
        (Measured(mm("18.9")), "borders", "length", "more than 5 % off"),
        # A row of two written as one tile.
        (Measured(mm("39.8")), "borders", "length", "more than 5 % off"),
        (Measured(mm("19.9"), width=mm(22)), "borders", "width", "gauged strip measures 22 mm where 20.3 mm"),
        (Measured(mm("99.5"), tiles=5, pieces=5), "borders", "tiles", "not one of this board's 4 columns"),
        (Measured(mm("39.8"), tiles=2, pieces=3), "borders", "pieces", "do not come in 3 pieces"),
        (Measured(mm("39.8"), tiles=2, pieces=0), "borders", "pieces", "do not come in 0 pieces"),
        (Measured(mm("19.9")), "weight", "keep", "What gives way"),
    ],
)
def test_what_cannot_be_right_is_refused(measured, keep, field, words):
    with pytest.raises(AsMadeError) as refused:
        remeasured(record_of(board_of()), measured, SHOP, keep=keep)
    assert refused.value.field == field
    assert words in str(refused.value)
    assert refused.value.mend


def test_exactly_five_in_a_hundred_is_still_believed():
    assert remeasured(record_of(board_of()), Measured(mm("20.895")), SHOP).pitch.value == mm("20.995")


def test_borders_that_are_not_there_or_too_narrow_cannot_make_up_for_it():
    bare = Pattern.of([[WALNUT, PADAUK], [PADAUK, WALNUT]])
    with pytest.raises(AsMadeError, match="cannot make up for") as refused:
        remeasured(record_of(board_of(side=mm(0), end=mm(0), pattern=bare)), Measured(mm(20)), SHOP, keep="size")
    assert refused.value.field == "keep"
    # Where nothing is off, nothing has to be made up for.
    remeasured(record_of(board_of(side=mm(0), end=mm(0), pattern=bare)), Measured(mm("19.9")), SHOP, keep="size")
    with pytest.raises(AsMadeError, match="cannot make up for"):
        remeasured(record_of(board_of(end=mm("0.2"))), Measured(mm("19.9"), width=mm("20.5")), SHOP, keep="size")
