"""A part's size at every stage, worked by hand with the shop's starting allowances."""

from __future__ import annotations

from dataclasses import replace

from planner.build import STAGES, BoardSpec, build
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import Shop

mm = Length.of_mm
# Worked by hand, no source: 0.1 mm of glue a joint, 0.2 off a dressed edge, strips ripped 0.5 wide, rows left 5 long
# at each end, the blank 3 wide at each edge and 1 thick.
SHOP = Shop(
    glue_line=mm("0.1"),
    dressing=mm("0.2"),
    gauge_allowance=mm("0.5"),
    end_trim=mm(5),
    edge_trim=mm(3),
    flattening=mm(1),
)
CELLS = [["beech", "sapele", "beech"], ["beech", "sapele", "beech"], ["beech", "sapele", "beech"]]


def board_of(cells=CELLS, side=ZERO, end=ZERO, method="tiles"):
    return build(Pattern.of(cells), BoardSpec("wall", mm(20), mm(18), side, end, method, 1, "sycamore"), method, SHOP)


def sizes(part):
    return {s.name: (s.length, s.width, s.thickness) for s in part.stages}


def lengths(*numbers):
    return tuple(mm(number) for number in numbers)


def test_a_tile_inside_the_field():
    board = board_of()
    tile = board.parts[board.rows[1].parts[1]]
    assert tuple(s.name for s in tile.stages) == STAGES
    assert sizes(tile) == {
        "ripped": lengths("19.9", "20.8", 19),  # 19.9 dressed, two edges of 0.2 to dress, 0.5 to gauge
        "gauged": lengths("19.9", "20.3", 19),
        "crosscut": lengths("19.9", "20.3", 19),
        "dressed": lengths("19.9", "19.9", 19),
        "finished": lengths(20, 20, 18),
    }


def test_a_tile_at_the_corner_of_a_board_without_borders_carries_both_trims():
    board = board_of()
    corner = board.parts[board.rows[0].parts[0]]
    assert sizes(corner) == {
        "ripped": lengths("24.95", "23.65", 19),  # 20 + 3 less half a glue line, one edge to dress, 0.5 to gauge
        "gauged": lengths("24.95", "23.15", 19),
        "crosscut": lengths("24.95", "23.15", 19),
        "dressed": lengths("24.95", "22.95", 19),
        "finished": lengths(20, 20, 18),
    }


def test_a_bottom_border():
    board = board_of(end=mm(30))
    border = board.parts[board.bottom_border]
    assert border.count == 2 and border.wood == "sycamore"
    assert sizes(border) == {
        "ripped": lengths(70, "33.65", 19),
        "gauged": lengths(70, "33.15", 19),
        "crosscut": lengths(70, "33.15", 19),
        "dressed": lengths(70, "32.95", 19),
        "finished": lengths(60, 30, 18),
    }


def test_with_top_and_bottom_borders_all_rows_are_gauged_at_one_setting():
    assert len({p.stage("gauged").width for p in board_of(end=mm(30)).parts if p.tiles}) == 1
    first_and_last_wider = {p.stage("gauged").width for p in board_of().parts}
    assert first_and_last_wider == {mm("20.3"), mm("23.15")}


def test_tiles_left_long_at_the_ends_ask_for_a_stop_of_their_own():
    # End tiles 24.95 and inner tiles 19.9; with borders 34.95 and 70 besides.
    assert board_of().counts.stop_settings == 2
    framed = board_of([[None, "beech", None], ["sapele", "beech", "sapele"]], side=mm(30), end=mm(30))
    # Side border with its background 54.95, alone 34.95, tiles 19.9, top and bottom borders 130.
    assert framed.counts.stop_settings == 4


def test_without_side_borders_pieces_at_the_ends_are_called_tiles_and_runs():
    cells = [[None, None, "beech", "beech"], ["sapele"] * 4, ["beech", "sapele", "sapele", "sapele"]]
    board = board_of(cells, method="runs")
    named = [[board.parts[n].kind for n in row.parts] for row in board.rows]
    assert named == [["end run", "end run"], ["through run"], ["end tile", "end run"]]
    framed = board_of([[None, "beech", None], [None, None, None]], side=mm(30), method="runs")
    named = [[framed.parts[n].kind for n in row.parts] for row in framed.rows]
    assert named == [["side border", "tile", "side border"], ["through row"]]


def test_pieces_that_fill_equal_places_with_other_joints_ask_for_other_stops():
    # Left long by a whole pitch, an end tile fills the place of two tiles: 39.95 with one joint, 39.9 with two.
    long = replace(SHOP, end_trim=mm(20))
    spec = BoardSpec("wall", mm(20), mm(18), ZERO, ZERO, "runs", 1, "sycamore")
    board = build(Pattern.of([["beech", "sapele", "sapele", "beech"]]), spec, "runs", long)
    assert {part.place_length for part in board.parts} == {mm(40)}
    assert board.counts.stop_settings == 2
