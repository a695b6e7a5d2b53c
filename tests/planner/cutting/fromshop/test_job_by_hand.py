"""A kept reckoning becomes a cut job that can be followed on paper. Sizes: common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from planner.cutting.fromshop import Piece, Wishes, costs_of, cut_job, layer_of, same_job_hash, unit_of, yields_of
from planner.cutting.plan import Part, StockBoard, first_cut_plan, from_json, to_json
from planner.shop import Shop
from tests.planner.cutting.fromshop.making import PLAIN, inch, made_by, mm, rack, record

TWENTY = ["bbbb"] * 5


def test_twenty_tiles_and_one_board_in_whole_millimetres():
    """Tiles of 20 by 20, milled to 18 + 2. Everything is whole millimetres, and 20, 3 and 5 share no larger unit. Of
    25 mm rough 22 can be milled; half of the 6 mm of straightening goes off either edge."""
    file = cut_job(record(TWENTY), PLAIN, rack())
    assert (file.unit, file.money) == ("1 mm", "1/10000 of the shop's currency")
    assert file.job.parts == (Part("beech", 20, 20, 20, 20, "tile or end tile"),)
    (board,) = file.job.stock
    assert (board.name, board.width, board.length, board.yields, board.cost) == ("BEE1", 100, 900, 22, 90_000)
    rules = file.job.rules
    assert (rules.end_trim, rules.edge_trim, rules.snipe, rules.grip, rules.grid) == (25, 3, 25, 100, 5)
    assert (rules.longest_rip, rules.shortest_rough, rules.narrowest, rules.thinnest) == (400, 300, 10, 6)
    plan = first_cut_plan(file.job)
    assert made_by(plan) == {(20, 20, 20): 20}


def test_strips_are_ripped_wider_by_what_the_reckoning_says_and_parts_are_gauged_sizes():
    """A tile of 20 between two others loses half a glue line of 0.1 at each face: 19.9 long. 19.9 wide when dressed
    and 0.2 more an edge before that, it is gauged to 20.3 and ripped to 20.8. A tile at a row's end has one glued face
    fewer, 19.95, so that twentieths of a millimetre are the unit: 398 by 406."""
    shop = replace(Shop(), spoil_rate=Fraction(0), end_trim=mm(0), edge_trim=mm(0))
    told = record(["bbb", "bbb", "bbb"], shop, border="beech")
    file = cut_job(told, shop, rack())
    assert file.unit == "1/20 mm"
    assert (398, 406, 380, 1) in {(part.length, part.width, part.thickness, part.count) for part in file.job.parts}
    assert file.job.rules.over_width == 10


def test_the_reckonings_own_oversize_stands_though_the_shop_has_changed_it_since():
    drawn = replace(PLAIN, gauge_allowance=mm("0.8"))
    file = cut_job(record(TWENTY, drawn), replace(PLAIN, gauge_allowance=mm(2)), rack())
    assert file.job.rules.over_width * unit_of(file.unit) == mm("0.8")
    assert file.job.parts[0].width * unit_of(file.unit) == mm(20)


def test_what_a_piece_yields_rough_and_surfaced():
    rough, surfaced = rack(thickness=25)[0], rack(thickness=25, surfaced=True)[0]
    assert (yields_of(rough, PLAIN), yields_of(surfaced, PLAIN)) == (mm(22), mm(25))


def test_a_layer_of_a_resawn_board_by_hand():
    """52 mm less the 2 mm the band saw takes are two layers of 25; each loses 3 to milling: 22. Wider than the guide
    is tall, or in a shop that does not resaw, there is none; nor where a layer is too thin to plane."""
    shop = replace(PLAIN, resaw=True)
    (thick,) = rack(thickness=52, width=150)
    assert layer_of(thick, shop) == mm(22)
    assert not layer_of(thick, PLAIN)
    assert not layer_of(replace(thick, width=mm(151)), shop)
    # (19 - 2) / 2 - 3 = 5.5 mm, under the 6 mm that are planed.
    assert not layer_of(replace(thick, thickness=mm(19)), shop)
    file = cut_job(record(TWENTY), shop, [thick], Wishes(resaw=True))
    assert file.job.stock[0].resawn == 22
    assert cut_job(record(TWENTY), shop, [thick]).job.stock[0].resawn == 0


def test_an_offcut_is_credited_its_share_of_what_its_area_cost():
    """A board of 100 by 900 mm for 9.00, half credited: 45 by 200 of it are a tenth of its area, and half of a tenth
    of 9.00 is 0.45."""
    file = cut_job(record(TWENTY), PLAIN, rack())
    board = file.job.stock[0]
    assert board.worth * 45 * 200 // file.job.rules.worth_area == 4_500
    none = cut_job(record(TWENTY), replace(PLAIN, offcut_share=Fraction(0)), rack())
    assert none.job.stock[0].worth == 0


def test_spares_and_copies_are_counted_in():
    """Spoiled one in fifty and 95 % sure: 20 tiles ask for 2 more; twice 20 tiles for 3 (planner.cutting.spares)."""
    shop = replace(PLAIN, spoil_rate=Fraction(2, 100))
    assert [part.count for part in cut_job(record(TWENTY, shop), shop, rack()).job.parts] == [22]
    twice = record(TWENTY, shop, quantity=2)
    assert [part.count for part in cut_job(twice, shop, rack(count=2)).job.parts] == [43]


def test_quarters_and_millimetres_lie_on_one_rack():
    """5/4 is 1 1/4 in or 31.75 mm; rounded down to whole millimetres it yields 28 of 28.75."""
    pieces = [Piece("Q1", "beech", inch("5/4"), inch("15/2"), inch(48)), *rack()]
    file = cut_job(record(TWENTY), PLAIN, pieces)
    quarter = file.job.stock[0]
    assert (quarter.yields, quarter.width, quarter.length) == (28, 190, 1219)
    assert file.unit == "1 mm"


def test_an_inch_shop_with_metric_glue_lines_still_rounds_no_part_down():
    shop = Shop(crosscut_kerf=inch("7/64"), rip_kerf=inch("1/8"), rough_step=inch("1/4"), unit="in")
    told = record(["bwb"] * 4, shop, pitch=inch("3/4"), thickness=inch("3/4"), border="beech")
    pieces = [*rack(thickness=inch("5/4"), width=inch(6), length=inch(96), count=3)]
    pieces += rack("walnut-black", thickness=inch("5/4"), width=inch(6), length=inch(96))
    file = cut_job(told, shop, pieces)
    unit = unit_of(file.unit)
    # 7/64 of kerf and 1/4 of step are whole 64ths, and forty parts of one are just under a hundredth of a millimetre.
    assert file.unit == "1/2560 in"
    for part in file.job.parts:
        wanted = [mm(p["stages"]["ripped"][0]) for p in told["parts"] if p["wood"] == part.wood]
        assert min(abs((part.length * unit - exact).mm) for exact in wanted) < Fraction(1, 100)
        assert any(0 <= (part.length * unit - exact).mm < Fraction(1, 100) for exact in wanted)


def test_a_kerf_in_inches_beside_steps_in_millimetres_is_taken_a_hair_wider():
    """1/8 in is 3.175 mm; with steps of 5 mm it goes by tenths: 3.2. With steps of 1/4 in it stays as it is."""
    metric, inches = (
        cut_job(record(TWENTY), replace(PLAIN, crosscut_kerf=inch("1/8"), rough_step=step), rack())
        for step in (mm(5), inch("1/4"))
    )
    assert metric.job.rules.crosscut_kerf * unit_of(metric.unit) == mm("3.2")
    assert inches.job.rules.crosscut_kerf * unit_of(inches.unit) == inch("1/8")


def test_what_is_bad_is_widened_to_whole_units_joined_and_kept_within_the_board():
    stretches = ((mm("400.2"), mm("450.7")), (mm(450), mm(480)), (mm(880), mm(2000)), (mm(20), mm(20)))
    (board,) = cut_job(record(TWENTY), PLAIN, rack(bad=stretches)).job.stock
    assert board.bad == ((400, 480), (880, 900))


def test_only_the_woods_that_are_wanted_are_in_the_job():
    file = cut_job(record(TWENTY), PLAIN, [*rack(), *rack("sapele")])
    assert [board.name for board in file.job.stock] == ["BEE1"]


def test_what_is_left_out_is_not_there_and_what_is_bought_has_a_name():
    wishes = Wishes(leave_out=("BEE1",), bought=tuple(rack(mark="x", worth="12.50")))
    file = cut_job(record(TWENTY), PLAIN, rack(count=2), wishes)
    assert [(board.name, board.cost) for board in file.job.stock] == [("BEE2", 90_000), ("to buy 1", 125_000)]


def test_offcuts_first_counts_them_at_nothing_and_tells_the_true_cost_apart():
    pieces = [*rack(worth="30", length=900), *rack(mark="OFF", worth="4", length=700, offcut=True)]
    wishes = Wishes(offcuts_first=True)
    file = cut_job(record(TWENTY), PLAIN, pieces, wishes)
    offcut = next(board for board in file.job.stock if board.offcut)
    assert (offcut.cost, offcut.worth) == (0, 0)
    plan = first_cut_plan(file.job)
    assert [cut.board for cut in plan.boards] == ["OFF1"]
    costs = costs_of(plan, file, pieces, PLAIN, wishes, unit_of(file.unit))
    assert costs.searched == 0 and costs.boards == Decimal(4)
    assert 0 < costs.cost == costs.boards - costs.credit


def test_left_and_right_border_of_a_row_come_out_of_one_strip_by_wish():
    """Side borders of 40 with a cell of background are 60 long, with two 80. A row's two with the kerf between them:
    60 + 60 + 3 = 123, or 80 + 60 + 3 = 143."""
    told = record(["-bb-", "-bb-", "-b--"], side=40, border="sapele")
    singly = cut_job(told, PLAIN, [*rack(), *rack("sapele")])
    assert {(p.length, p.count) for p in singly.job.parts if p.wood == "sapele"} == {(60, 5), (80, 1)}
    file = cut_job(told, PLAIN, [*rack(), *rack("sapele")], Wishes(pair_borders=True))
    pairs = {(part.pieces, part.length, part.count) for part in file.job.parts if part.wood == "sapele"}
    assert pairs == {((60, 60), 123, 2), ((80, 60), 143, 1)}


def test_kinds_bound_to_one_board_and_shades_are_handed_on():
    told = record(["-b-", "-b-"], side=40, end=40, border="sapele")
    wishes = Wishes(one_board=("top or bottom border",), shades={"sapele": "red"})
    file = cut_job(told, replace(PLAIN, longest_rip=mm(900)), [*rack(), *rack("sapele", shade="red")], wishes)
    bound = {part.name: (part.bound, part.shade) for part in file.job.parts}
    assert bound["top or bottom border"] == ("top or bottom border", "red")
    assert bound["tile"] == ("", "")


def test_ways_are_handed_on_for_woods_that_are_wanted():
    file = cut_job(record(TWENTY), PLAIN, rack(), Wishes(ways={"beech": "edge", "sapele": "edge"}))
    assert file.job.ways == (("beech", "edge"),)


def test_equal_jobs_have_one_hash_whatever_plan_stands_in_the_file():
    one, again = (cut_job(record(TWENTY), PLAIN, rack()) for _ in range(2))
    assert same_job_hash(one) == same_job_hash(again) == same_job_hash(replace(one, plan=first_cut_plan(one.job)))
    assert same_job_hash(one) != same_job_hash(cut_job(record(TWENTY), PLAIN, rack(worth="9.01")))
    assert len(same_job_hash(one)) == 64


def test_the_file_is_read_back_as_it_was_written():
    file = cut_job(record(TWENTY), PLAIN, rack(count=2))
    assert from_json(to_json(file)) == file
    assert isinstance(file.job.stock[0], StockBoard)
