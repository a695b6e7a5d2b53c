"""Lumber followed on paper: parts into strips, strips into rough lengths, net and gross."""

from dataclasses import replace
from fractions import Fraction

from planner.cutting import RoughLength, Strip, lumber_need
from planner.measures import Length, board_feet
from planner.shop import Shop, StockSize
from tests.planner.cutting.boards import EVERY_STOCK, PLAIN, STOCK, board, mm


def only(need):
    (wood,) = need.woods
    return wood


def test_twenty_tiles_of_one_wood_followed_on_paper():
    """400 mm ripped, less 25 mm at both ends and 100 mm to hold: 250 mm to cut from. A tile and its kerf take 23 mm,
    so ten come from a strip: two strips. Each needs 10 × 23 + 150 = 380 mm. Side by side they take
    2 × (20 + 3) + 6 = 52 mm of 100, and the 48 mm left over are an offcut."""
    need = only(lumber_need(board(["bbbb"] * 5), PLAIN, EVERY_STOCK))
    assert (need.tiles, need.pieces, need.spares) == (20, 20, 0)
    assert need.sections[0].strips == (Strip(mm(20), ((mm(20), 10),), mm(380), 2),)
    assert need.sawn == (RoughLength(mm(380), mm(52), (mm(20), mm(20)), 1),)
    assert (need.strips, need.rough_lengths) == (2, 1)
    assert need.gross_mm3 == 380 * 52 * 25
    assert need.net_mm3 == 20 * 20 * 20 * 18


def test_every_strip_is_squared_before_its_first_part():
    need = only(lumber_need(board(["bbbb"] * 5), PLAIN, EVERY_STOCK))
    assert need.crosscuts == 20 + 2


def test_a_rest_too_narrow_for_another_strip_is_counted_as_used():
    # 100 - 6 of straightening holds four strips of 20 with their kerfs: 4 × 23 = 92. 2 mm are left: no strip.
    need = only(lumber_need(board(["bbbbb"] * 8), PLAIN, EVERY_STOCK))
    assert need.sawn == (RoughLength(mm(380), mm(100), (mm(20),) * 4, 1),)
    assert need.gross_mm3 == 380 * 100 * 25


def test_the_last_strip_across_a_rough_length_needs_no_kerf_after_it():
    # Four strips of 20 and three kerfs of 3 are 89, with 6 of straightening 95: a board of exactly that will do.
    tight = {"beech": StockSize(mm(25), mm(95))}
    assert only(lumber_need(board(["bbbbb"] * 8), PLAIN, tight)).rough_lengths == 1
    tighter = {"beech": StockSize(mm(25), mm(94))}
    assert only(lumber_need(board(["bbbbb"] * 8), PLAIN, tighter)).rough_lengths == 2


def test_a_strip_with_few_parts_is_still_as_long_as_the_machines_ask():
    # Two tiles need 2 × 23 + 150 = 196 mm; nothing under 300 mm goes over the jointer.
    need = only(lumber_need(board(["bb"]), PLAIN, EVERY_STOCK))
    assert need.sawn == (RoughLength(mm(300), mm(29), (mm(20),), 1),)


def test_three_copies_share_their_strips():
    one = only(lumber_need(board(["bbb"] * 2), PLAIN, EVERY_STOCK))
    three = only(lumber_need(board(["bbb"] * 2, quantity=3), PLAIN, EVERY_STOCK))
    # Six tiles ask for a strip; eighteen ask for two, not three.
    assert (one.strips, three.strips) == (1, 2)
    assert (three.tiles, three.pieces) == (18, 18)
    assert three.net_mm3 == 3 * one.net_mm3


def test_spares_are_cut_with_the_parts_but_are_no_part_of_the_net():
    shop = replace(PLAIN, spoil_rate=Fraction(2, 100))
    need = only(lumber_need(board(["b" * 16] * 16, shop), shop, EVERY_STOCK))
    # Nine spares for 256 at 2 % and 95 %, by the table of the binomial distribution.
    assert (need.pieces, need.spares) == (256 + 9, 9)
    assert need.net_mm3 == 256 * 20 * 20 * 18


def test_background_and_borders_are_cut_from_the_border_wood_and_are_no_tiles():
    need = lumber_need(board(["-b-", "-b-"], side=20, end=30, border="walnut-black"), PLAIN, EVERY_STOCK)
    woods = {wood.wood: wood for wood in need.woods}
    assert woods["beech"].tiles == woods["beech"].pieces == 2
    assert woods["walnut-black"].tiles == 0
    # A side border with its background at both ends of two rows, a top and a bottom border.
    assert woods["walnut-black"].pieces == 4 + 2
    assert [section.width for section in woods["walnut-black"].sections] == [mm(30), mm(20)]


def test_the_nets_of_all_woods_are_the_boards_finished_volume_whatever_the_allowances():
    shop = Shop()
    for method in ("tiles", "runs"):
        made = board(["-bbw-", "-sbb-", "--b--"], shop, method=method, side=15, end=25, quantity=4)
        need = lumber_need(made, shop, EVERY_STOCK)
        finished = (5 * 20 + 2 * 15) * (3 * 20 + 2 * 25) * 18
        assert need.net_mm3 == 4 * finished
        assert need.gross_mm3 > need.net_mm3


def test_the_wood_most_is_sawn_of_comes_first():
    need = lumber_need(board(["bwwwwwwwwwwwww"] * 4), PLAIN, EVERY_STOCK)
    assert [wood.wood for wood in need.woods] == ["walnut-black", "beech"]


def test_a_hundred_and_fifty_tiles_of_three_quarters_of_an_inch_hold_0_44_board_feet():
    """Common practice, no source: tile wood is little beside the hours."""
    cube = Length.of_inches("3/4")
    shop = replace(PLAIN, flattening=mm(0), milling=mm(0))
    need = lumber_need(board(["b" * 15] * 10, shop, pitch=cube, thickness=cube), shop, EVERY_STOCK)
    assert round(board_feet(need.net_mm3), 2) == Fraction("0.44")
    assert board_feet(need.net_mm3) == 150 * Fraction(3, 4) ** 3 / 144


def test_inch_sizes_stay_exact_down_to_the_gross():
    # Twelve strips' worth of kerfs of 1/8 in and pitches of 3/4 in: 7/8 in a tile, sixteen to 14 in of strip.
    inch = Length.of_inches
    shop = replace(
        PLAIN,
        crosscut_kerf=inch("1/8"),
        rip_kerf=inch("1/8"),
        rough_end_trim=inch(1),
        rough_edge_trim=inch("1/4"),
        grip=inch(4),
        longest_rip=inch(20),
        shortest_machined=inch(12),
        flattening=inch("1/16"),
        milling=inch("1/8"),
    )
    stock = {"beech": StockSize(inch(1), inch(6))}
    made = board(["b" * 8] * 4, shop, pitch=inch("3/4"), thickness=inch("3/4"))
    need = only(lumber_need(made, shop, stock))
    assert need.sawn == (RoughLength(inch(20), inch(2), (inch("3/4"),) * 2, 1),)
    # 20 × 2 × 1 in over 144.
    assert board_feet(need.gross_mm3) == Fraction(40, 144)


def test_stock_sizes_are_the_woods_own():
    stock = {"beech": STOCK, "walnut-black": StockSize(mm(32), mm(200))}
    need = {w.wood: w for w in lumber_need(board(["bw" * 2] * 2), PLAIN, stock).woods}
    assert need["walnut-black"].gross_mm3 == need["beech"].gross_mm3 * 32 / 25
