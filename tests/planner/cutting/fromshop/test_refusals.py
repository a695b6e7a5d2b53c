"""What cannot be cut is refused in a sentence: the part, the limit, the nearest mend, in the maker's unit and names."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.cutting.fromshop import Wishes, cut_job, in_words, says_in, unit_of
from planner.cutting.plan import CutPlanError, first_cut_plan
from tests.planner.cutting.fromshop.making import PLAIN, inch, mm, rack, record

TWENTY = ["bbbb"] * 5


def refused(told=None, shop=PLAIN, pieces=None, wishes=None) -> CutPlanError:
    with pytest.raises(CutPlanError) as error:
        cut_job(told or record(TWENTY), shop, rack() if pieces is None else pieces, wishes)
    assert error.value.mend and error.value.field
    return error.value


def test_no_stock_at_all():
    error = refused(pieces=[])
    assert "There is no Beech from the hill on the rack that is free, and 20 pieces are wanted" in error.what
    assert "Buy Beech from the hill" in error.mend and error.field == "stock"


def test_one_piece_that_is_wanted_is_told_as_one():
    error = refused(record(["b"]), pieces=[])
    assert "that is free, and a through tile is wanted." in error.what


def test_no_stock_of_one_wood():
    error = refused(record(["bw"]), pieces=rack())
    assert "no Black walnut" in error.what


def test_boards_narrower_than_a_strip_name_the_widest_and_how_wide_would_do():
    # 25 wide less 6 of straightening gives 19; the tile's strip is 20; 26 would do.
    error = refused(pieces=[*rack(width=25), *rack(width=22, mark="NAR")])
    assert "ripped 20 mm wide" in error.what and "BEE1 of 25 mm, gives 19 mm" in error.what
    assert "26 mm wide or more" in error.mend and "1 mm narrower" in error.mend
    assert cut_job(record(TWENTY), PLAIN, rack(width=26)).job.parts


def test_boards_too_thin_name_the_thickest_and_what_to_buy():
    # 20 after milling asks for 23 in the rough; 22 rough yields 19.
    error = refused(pieces=rack(thickness=22))
    assert "milled to 20 mm" in error.what and "BEE1 of 22 mm, yields 19 mm" in error.what
    assert "23 mm or more in the rough" in error.mend and "1 mm thinner" in error.mend
    assert cut_job(record(TWENTY), PLAIN, rack(thickness=23)).job.parts
    assert cut_job(record(TWENTY), PLAIN, rack(thickness=20, surfaced=True)).job.parts


def test_what_is_turned_on_edge_is_mended_by_its_other_side():
    # Tiles 20 wide are milled to 20 on edge, of 22 in the rough 19 are left; 24 thick, they are ripped 24 wide.
    wishes = Wishes(ways={"beech": "edge"})
    thin = refused(pieces=rack(thickness=22), wishes=wishes)
    assert "turned on edge is milled to 20 mm" in thin.what
    assert "rip it face up, or choose a pitch or border 1 mm narrower" in thin.mend
    narrow = refused(record(TWENTY, thickness=22), pieces=rack(thickness=40, width=25), wishes=wishes)
    assert "turned on edge is ripped 24 mm wide" in narrow.what
    assert "rip it face up, or make the board 5 mm thinner" in narrow.mend


def test_a_grip_longer_than_the_longest_strip():
    error = refused(shop=replace(PLAIN, grip=mm(400)))
    assert "the grip 400 mm: nothing is left to cut" in error.what and "400 mm" in error.what
    # 25 of snipe, 3 for the cut that takes it off, 400 of grip.
    assert "more than 428 mm" in error.mend and error.field == "grip"


def test_a_grip_that_leaves_less_than_a_part():
    # 400 - 28 - 350 = 22, and a tile with the cut behind it takes 23; in steps of 5 it asks for 405.
    error = refused(shop=replace(PLAIN, grip=mm(350)))
    assert "asks for a rough length of 405 mm" in error.what and "no more than 400 mm" in error.what
    assert error.field == "longest_rip"
    assert cut_job(record(TWENTY), replace(PLAIN, grip=mm(349)), rack()).job.parts


def test_a_grip_that_takes_most_of_the_longest_piece_is_named():
    # 400 - 2 x 25 of trim = 350; 28 + 20 + 3 + 340 asks for 395.
    error = refused(shop=replace(PLAIN, grip=mm(340)), pieces=rack(length=400))
    assert "asks for a rough length of 395 mm" in error.what
    assert "the grip alone takes 340 mm" in error.mend and "the saw’s manual" in error.mend
    assert "the grip alone" not in refused(pieces=rack(length=300)).mend


@pytest.mark.parametrize("kerf", ["crosscut_kerf", "rip_kerf"])
def test_a_kerf_of_nought(kerf):
    error = refused(shop=replace(PLAIN, **{kerf: mm(0)}))
    assert "every blade takes something" in error.what and error.field == kerf
    assert "Measure it in a scrap" in error.mend


@pytest.mark.parametrize("kerf", ["crosscut_kerf", "rip_kerf"])
def test_a_kerf_as_wide_as_the_tile(kerf):
    error = refused(shop=replace(PLAIN, **{kerf: mm(20)}))
    assert "no more than the 20 mm" in error.what and "tile" in error.what and "wider pitch" in error.mend
    assert error.field == kerf


def test_strips_too_narrow_to_be_held_and_stock_too_thin_to_be_planed():
    assert refused(shop=replace(PLAIN, narrowest_strip=mm(21))).field == "narrowest_strip"
    error = refused(shop=replace(PLAIN, thinnest_planed=mm(21)))
    assert "planes nothing thinner than 21 mm" in error.what and error.field == "thinnest_planed"


def test_a_border_longer_than_any_board_offers_a_scarf_another_axis_and_the_board_to_buy():
    """Twenty tiles of 20 make the border 400 long. It needs 28 before and 103 behind it: 531, in steps of 5: 535. A
    board of 500 gives 450; the longest part out of that is 450 - 131 = 319. Two rows and
    two borders of 30 make the board 100 high: no piece of it is longer where rows run upright."""
    shop = replace(PLAIN, longest_rip=mm(1200))
    told = record(["s" * 19 + "-"] * 2, shop, end=30, border="beech")
    pieces = [*rack(length=500, count=3), *rack("sapele", length=900, count=3)]
    error = refused(told, shop, pieces)
    assert "The top or bottom border of Beech from the hill is 400 mm long" in error.what
    assert "rough length of 535 mm" in error.what and "BEE1 of 500 mm, gives 450 mm" in error.what
    assert "Let the rows run upright, so that no piece is longer than 100 mm" in error.mend
    assert "scarf" in error.mend and "does not reckon scarfs" in error.mend
    assert "at most 319 mm long" in error.mend and "585 mm long or more" in error.mend
    assert cut_job(told, shop, [*rack(length=585, count=3), *pieces]).job.parts


@pytest.mark.parametrize("rows", [["s" * 19 + "-"] * 20, ["s" * 20] * 2], ids=["square", "no background to hold on to"])
def test_a_border_that_is_no_better_the_other_way_is_not_told_to_turn(rows):
    shop = replace(PLAIN, longest_rip=mm(1200))
    told = record(rows, shop, end=30, border="beech")
    error = refused(told, shop, [*rack(length=500), *rack("sapele", length=900, count=3)])
    assert "Let the rows" not in error.mend and error.mend.startswith("Join each border of two")


def test_a_deep_row_wider_than_what_lies_there_may_be_built_as_runs():
    told = record(["sb", "sb", "sb"], method="deep")
    error = refused(told, pieces=[*rack(width=61, count=3), *rack("sapele", count=3)])
    assert "The end tile, 3 rows deep of Beech from the hill is ripped 60 mm wide" in error.what
    assert "61 mm, gives 55 mm" in error.what and "66 mm wide or more" in error.mend
    assert error.mend.endswith("or build the board as runs, no rows made as one.")
    assert cut_job(told, PLAIN, [*rack(width=66, count=3), *rack("sapele", count=3)]).job.parts


@pytest.mark.parametrize(
    ("length", "instead"), [(390, "Rip no longer than 340 mm (the workshop's safe limits)"), (340, "Use longer pieces")]
)
def test_strips_of_panels_longer_than_what_lies_there_may_be_made_shorter(length, instead):
    """Five slices of 20 at a cut of 3 each, 100 to hold: 215. 28 before and 103 behind: 346, in steps of 5: 350."""
    told = record(["sb"], method="panels", quantity=5)
    error = refused(told, pieces=[*rack(length=length, count=3), *rack("sapele", count=3)])
    assert "Beech from the hill is 215 mm long and asks for a rough length of 350 mm" in error.what
    assert error.mend.startswith(instead) and "400 mm long or more" in error.mend


def test_a_border_longer_than_is_ripped():
    told = record(["s" * 20] * 2, replace(PLAIN, longest_rip=mm(1200)), end=30, border="beech")
    error = refused(told, PLAIN, [*rack(count=3), *rack("sapele", count=3)])
    assert "this shop rips no more than 400 mm" in error.what and "535 mm" in error.mend


def test_a_sound_stretch_too_short_is_named_as_such():
    told = record(TWENTY)
    bad = tuple((mm(at), mm(at + 10)) for at in (200, 400, 600, 800))
    # Sound: 175 to the first, then 190 three times, 65 at the end; 300 is the least that is machined.
    error = refused(told, PLAIN, rack(bad=bad))
    assert "has a longest sound stretch of 190 mm" in error.what


def test_a_shade_nobody_has():
    error = refused(pieces=rack(shade="pale"), wishes=Wishes(shades={"beech": "dark"}))
    assert "No Beech from the hill on the rack is of the shade “dark”" in error.what and "“pale”" in error.mend


def test_a_pair_too_long_for_one_strip_names_the_wish():
    told = record(["-bb-"], side=90, border="sapele")
    error = refused(told, PLAIN, [*rack(), *rack("sapele", length=350)], Wishes(pair_borders=True))
    assert error.field == "pair_borders" and "Do not ask for both borders" in error.mend
    # Singly they come out.
    assert cut_job(told, PLAIN, [*rack(), *rack("sapele", length=350)]).job.parts


def test_turned_on_edge_the_thickness_is_ripped_and_the_width_is_milled():
    """On edge a strip is ripped 20 wide (18 + 2) and milled to 30: that asks for 33 in the rough."""
    told = record(["bbbb"] * 5, pitch=30)
    edge = Wishes(ways={"beech": "edge"})
    error = refused(told, PLAIN, rack(), edge)
    assert "turned on edge is milled to 30 mm" in error.what and "33 mm" in error.mend
    assert cut_job(told, PLAIN, rack(thickness=33), edge).job.ways == (("beech", "edge"),)
    assert cut_job(told, PLAIN, rack(), Wishes(ways={"beech": "either"})).job.parts


def test_an_inch_shop_is_answered_in_inches():
    shop = replace(PLAIN, unit="in")
    error = refused(record(TWENTY, shop), shop, rack(thickness=inch("3/4")))
    assert "yields 0.632 in" in error.what and "3/4 in" in error.what and " mm" not in str(error)


def test_what_the_search_says_is_in_the_makers_words_too():
    told, pieces = record(["bbbbbbbbbb"] * 12), rack(width=60)
    file = cut_job(told, PLAIN, pieces)
    with pytest.raises(CutPlanError) as error:
        first_cut_plan(file.job, says=says_in(unit_of(file.unit), PLAIN))
    said = in_words(error.value, told)
    assert "Beech from the hill" in said.what and "20 mm by 20 mm by 20 mm" in said.what
    assert "beech" not in str(said) and said.field == "stock"


def test_a_name_that_holds_the_woods_id_is_told_once():
    told = {"woods": [{"wood": "sycamore", "name": "American sycamore"}, {"wood": "ash", "name": "White ash"}]}
    said = in_words(CutPlanError("The tile of American sycamore, beside ash.", mend="Buy sycamore.", field=""), told)
    assert said.what == "The tile of American sycamore, beside White ash." and said.mend == "Buy American sycamore."


def test_a_refusal_changes_nothing_in_what_was_given():
    pieces, told = rack(width=25), record(TWENTY)
    before = repr(pieces), repr(told)
    refused(told, PLAIN, pieces)
    assert (repr(pieces), repr(told)) == before
