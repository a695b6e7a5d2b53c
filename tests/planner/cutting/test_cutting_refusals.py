"""What cannot be cut safely or from this stock is refused: the part or wood, the limit and the mend are named."""

from dataclasses import replace

import pytest

from planner.cutting import CuttingError, lumber_need
from planner.measures import Length
from planner.shop import StockSize
from tests.planner.cutting.boards import EVERY_STOCK, PLAIN, board, mm

PICTURE = ["-bb-", "-bw-"]


def refusal(made, shop=PLAIN, stock=EVERY_STOCK):
    with pytest.raises(CuttingError) as caught:
        lumber_need(made, shop, stock)
    assert caught.value.mend
    return caught.value


def test_what_is_within_every_limit_is_not_refused():
    assert lumber_need(board(PICTURE, side=20, end=20), PLAIN, EVERY_STOCK).gross_mm3 > 0


def test_a_pitch_within_the_kerf():
    error = refusal(board(PICTURE), replace(PLAIN, crosscut_kerf=mm(20)))
    assert error.what == "A pitch of 20 mm is no more than the 20 mm the crosscut blade takes."
    assert error.field == "pitch"


def test_a_strip_too_narrow_to_be_held():
    error = refusal(board(PICTURE, pitch=9))
    assert error.what == "A strip 9 mm wide is narrower than the 10 mm this shop rips; it could not be held safely."
    assert error.field == "pitch"
    assert lumber_need(board(PICTURE, pitch=10), PLAIN, EVERY_STOCK)


def test_a_border_too_narrow_to_be_held_is_the_borders_fault():
    error = refusal(board(PICTURE, side=20, end=8))
    assert "A strip 8 mm wide" in error.what
    assert error.field == "end_border"


def test_stock_too_thin_to_be_planed():
    shop = replace(PLAIN, flattening=mm(1))
    error = refusal(board(PICTURE, shop, thickness=4), shop)
    assert error.what == "Stock milled to 5 mm is thinner than the 6 mm this shop planes."
    assert error.field == "thickness"
    assert lumber_need(board(PICTURE, shop, thickness=5), shop, EVERY_STOCK)


def test_rough_lengths_shorter_than_the_machines_ask():
    error = refusal(board(PICTURE), replace(PLAIN, longest_rip=mm(299)))
    assert "299 mm" in error.what and "300 mm" in error.what
    assert error.field == "longest_rip"
    assert lumber_need(board(PICTURE), replace(PLAIN, longest_rip=mm(300)), EVERY_STOCK)


def test_a_strip_that_is_all_trim_and_grip():
    error = refusal(board(PICTURE), replace(PLAIN, grip=mm(350)))
    assert error.what == "A strip of 400 mm leaves nothing once both ends are trimmed and 350 mm is kept to hold it by."
    assert error.field == "longest_rip"


def test_a_run_longer_than_a_strip_is_named_with_its_wood_and_the_longest_there_is():
    # 250 mm usable less the kerf after it: 247 mm. Twelve tiles of 20 mm are 240, thirteen are 260.
    assert lumber_need(board(["b" * 12 + "w"], method="runs"), PLAIN, EVERY_STOCK)
    error = refusal(board(["b" * 13 + "w"], method="runs"))
    assert error.what == (
        "The end run of American beech is 260 mm long; the longest part out of a 400 mm length is 247 mm, "
        "with 100 mm kept to hold it by."
    )
    assert error.field == "pitch"


def test_a_border_longer_than_a_strip_is_the_borders_fault():
    error = refusal(board(["-" + "b" * 10 + "-"], side=10, end=20))
    assert "top or bottom border" in error.what and "260 mm" in error.what
    assert error.field == "end_border"
    error = refusal(board(["-bb-"], side=240))
    assert "side border" in error.what
    assert error.field == "side_border"


def test_the_longest_part_named_is_one_that_can_be_cut():
    exact = board(["b"], pitch=Length.of_mm(247), thickness=18)
    wide = {"beech": StockSize(mm(25), mm(300))}
    assert lumber_need(exact, PLAIN, wide)
    assert refusal(board(["b"], pitch=248), stock=wide).field == "pitch"


def test_stock_too_thin_for_the_board_says_how_thick_it_or_the_board_may_be():
    thin = EVERY_STOCK | {"walnut-black": StockSize(mm(22), mm(100))}
    error = refusal(board(PICTURE), stock=thin)
    # 18 finished, 2 for flattening, 3 for milling.
    assert error.what == (
        "Black walnut on hand is 22 mm thick; a board 18 mm thick is milled to 20 mm and asks for 23 mm in the rough."
    )
    assert error.mend == "Make the board at most 17 mm thick, or use Black walnut of 23 mm or more."
    assert error.field == "thickness"
    assert lumber_need(board(PICTURE, thickness=17), PLAIN, thin)
    assert lumber_need(board(PICTURE), PLAIN, thin | {"walnut-black": StockSize(mm(23), mm(100))})


def test_stock_that_milling_would_use_up_is_not_offered_a_board_of_no_thickness():
    error = refusal(board(PICTURE), stock=EVERY_STOCK | {"beech": StockSize(mm(5), mm(100))})
    assert error.mend.startswith("Use ")
    assert "at most" not in error.mend


def test_stock_too_narrow_for_a_strip_names_the_wood():
    narrow = EVERY_STOCK | {"walnut-black": StockSize(mm(25), mm(25))}
    error = refusal(board(PICTURE), stock=narrow)
    assert "Black walnut 25 mm wide" in error.what and "6 mm lost to straightening" in error.what
    assert lumber_need(board(PICTURE), PLAIN, EVERY_STOCK | {"walnut-black": StockSize(mm(25), mm(26))})


def test_a_wood_without_a_stock_size_is_named():
    error = refusal(board(PICTURE, side=20, border="sapele"), stock={"beech": EVERY_STOCK["beech"]})
    assert "There is no stock size for" in error.what
    assert error.field == "stock"
