"""What was wished is found in the plan: pairs in one strip, kinds from one board, shades, ways, layers, sound wood."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace

import pytest

from planner.cutting.fromshop import Wishes, cut_job, length_of, unit_of
from planner.cutting.plan import faults_of, first_cut_plan, plan_cuts
from planner.shop import Shop
from tests.planner.cutting.fromshop.making import mm, rack, record

SHOP = Shop()
ROWS = ["-bwb-", "-wbw-", "-bbw-", "-wwb-"]
TOLD = record(ROWS, SHOP, side=60, end=40, border="sapele", method="runs")
WOODS = ("beech", "walnut-black", "sapele")


def shelf(**kwargs):
    return [piece for wood in WOODS for piece in rack(wood, thickness=27, width=120, length=1500, count=3, **kwargs)]


def plans(wishes, pieces=None, shop=SHOP):
    pieces = shelf() if pieces is None else pieces
    file = cut_job(TOLD, shop, pieces, wishes)
    for plan in (first_cut_plan(file.job), plan_cuts(file.job, steps=12)):
        assert faults_of(plan, file.job) == ()
        yield plan, file


def strips_of(plan):
    for cut in plan.boards:
        for rough in cut.rough:
            for strip in (*rough.strips, *rough.under):
                yield cut, rough, strip


def test_left_and_right_border_of_every_row_lie_side_by_side_in_one_strip():
    for plan, file in plans(Wishes(pair_borders=True)):
        pairs = Counter()
        for _, _, strip in strips_of(plan):
            for pieces, times in strip.pieces:
                pairs[pieces] += times
        wanted = Counter()
        for part in file.job.parts:
            if part.pieces:
                wanted[part.pieces] += part.count
        assert sum(wanted.values()) == len(ROWS) and pairs == wanted


def test_a_kind_bound_to_one_board_comes_from_one():
    wishes = Wishes(one_board=("top or bottom border",))
    for plan, file in plans(wishes):
        (border,) = (part for part in file.job.parts if part.bound)
        boards = {cut.board for cut, _, strip in strips_of(plan) if border.length in dict(strip.parts)}
        assert len(boards) == 1


def test_a_shade_that_was_asked_for_is_given():
    pieces = [*shelf(shade="pale"), *rack("walnut-black", thickness=27, width=120, length=1500, mark="D", shade="dark")]
    for plan, file in plans(Wishes(shades={"walnut-black": "dark"}), pieces):
        wood = {board.name: board.wood for board in file.job.stock}
        assert {cut.board for cut in plan.boards if wood[cut.board] == "walnut-black"} == {"D1"}


@pytest.mark.parametrize("way", ["edge", "either"])
def test_strips_turned_on_edge_are_ripped_to_the_thickness_and_milled_to_the_width(way):
    """Tiles of 20 gauged to 20.3 need 27 - 3 = 24 at the most; on edge rough lengths are milled to 20.3, and to 20.6
    less the edge trim's share in outer rows."""
    pieces = [*shelf(), *rack("walnut-black", thickness=30, width=120, length=1500, count=3, mark="T")]
    for plan, file in plans(Wishes(ways={"walnut-black": way}), pieces):
        if way == "edge":
            assert plan.on_edge == ("walnut-black",)
        unit = unit_of(file.unit)
        milled = defaultdict(set)
        wood = {board.name: board.wood for board in file.job.stock}
        for cut, rough, strip in strips_of(plan):
            milled[wood[cut.board]].add((length_of(strip.width, unit), length_of(rough.thickness, unit)))
        for name, sizes in milled.items():
            parts = {
                (mm(part["stages"]["gauged"][1]), mm(part["stages"]["gauged"][2]))
                for part in TOLD["parts"]
                if part["wood"] == name
            }
            turned = {(thickness, width) for width, thickness in parts}
            assert sizes <= (turned if name in plan.on_edge else parts)


def test_thick_boards_are_resawn_only_where_it_was_wished_and_the_shop_resaws():
    """52 mm less a 2 mm kerf are two layers of 25, each milled to 19."""
    pieces = [*shelf()[3:], *rack(thickness=52, width=120, length=1500, count=2)]
    resaws = replace(SHOP, resaw=True)
    for wishes, shop, may in (
        (Wishes(resaw=True), resaws, True),
        (Wishes(), resaws, False),
        (Wishes(resaw=True), SHOP, False),
    ):
        for plan, file in plans(wishes, pieces, shop):
            assert any(board.resawn for board in file.job.stock) == may
            assert may or not any(rough.resawn for cut in plan.boards for rough in cut.rough)


def test_nothing_that_is_kept_or_ripped_touches_bad_wood():
    bad = ((mm(300), mm(420)), (mm(900), mm(930)))
    for plan, file in plans(Wishes(), shelf(bad=bad)):
        unit = unit_of(file.unit)
        for cut in plan.boards:
            for rough in cut.rough:
                begin, end = length_of(rough.at, unit), length_of(rough.at + rough.length, unit)
                assert all(end <= low or begin >= high for low, high in bad)


def test_what_was_left_out_is_not_cut():
    for plan, _ in plans(Wishes(leave_out=("BEE1", "WAL1", "SAP1"))):
        assert not {cut.board for cut in plan.boards} & {"BEE1", "WAL1", "SAP1"}
