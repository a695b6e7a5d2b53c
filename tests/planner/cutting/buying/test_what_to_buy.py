"""What the rack does not give, the boards that would, and what they cost: followed on paper.

Sizes and prices are inventions; rules of thumb and units with their sources in ``planner.cutting.buying``.
"""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from planner.cutting.buying import BoughtBefore, PastYield, PriceRange, Want, adding, amount, losing, what_to_buy
from planner.cutting.plan import CutPlanError
from planner.figures import Figure
from planner.measures import MM3_PER_BOARD_FOOT
from planner.shop import Shop
from tests.planner.cutting.fromshop.making import PLAIN, inch, mm, rack, record, some_rows

TWENTY = Want("Twenty tiles", record(["bbbb"] * 5))
INCH = BoughtBefore("beech", inch(1), inch(1), mm(100), mm(900), per="bf", price=Decimal("8"))


def only(buying):
    (line,) = buying.lines
    return line


def test_twenty_tiles_from_nothing_followed_on_paper():
    """400 mm ripped less 28 at the front and 100 held are 272: eleven tiles with their kerfs, 253. The other nine come
    out of a strip beside it. 28 + 253 + 100 = 381, in steps of 5: 385. Behind it 900 - 50 - 385 - 3 = 462 by 94 are
    kept, beside the strips 94 - 2 x 23 = 48 by 385. Of 90,000 mm² of board 90,000 - 43,428 - 18,480 = 28,092 are used.
    20 tiles of 20 x 20 x 18 are 144,000 mm³ in the board."""
    line = only(what_to_buy([TWENTY], PLAIN, [], [INCH]))
    assert line.words == "one 4/4 of 100 mm × 900 mm or alike"
    assert [(part.count, part.length, part.width, part.thickness) for part in line.missing] == [
        (20, mm(20), mm(20), mm(20))
    ]
    assert line.net.value == Fraction(144_000) / MM3_PER_BOARD_FOOT
    assert line.assumed.value == Fraction(144_000) / (28_092 * inch(1).mm)
    assert line.amount.unit == "bf" and line.amount.value == 28_092 * inch(1).mm / MM3_PER_BOARD_FOOT
    whole = 90_000 * inch(1).mm / MM3_PER_BOARD_FOOT
    assert line.likely[0].amount.value == whole and (line.likely[0].count, line.likely[0].before) == (1, True)
    # 0.96875... bf at 8.00: the board is bought whole.
    assert line.cost.median.value == Decimal("7.75") == line.likely[0].cost.value
    assert "cut plan made of these very boards" in line.why


def test_what_the_rack_gives_is_not_bought():
    """A piece of 29 by 350 gives one strip of 300: 300 - 28 - 100 = 172 hold seven tiles. Thirteen are missing."""
    line = only(what_to_buy([TWENTY], PLAIN, rack(width=29, length=350, mark="OFF"), [INCH]))
    assert line.from_rack == ("OFF1",)
    assert sum(part.count for part in line.missing) == 13
    assert line.net.value == Fraction(144_000 * 13, 20) / MM3_PER_BOARD_FOOT


def test_several_plans_together_share_the_rack_and_the_boards():
    other = Want("Again", record(["bbbb"] * 5))
    line = only(what_to_buy([TWENTY, other], PLAIN, rack(width=29, length=350), [INCH]))
    assert sum(part.count for part in line.missing) == 33 and line.likely[0].count == 1


def test_a_rack_that_gives_all_asks_for_nothing_and_says_which_pieces():
    buying = what_to_buy([TWENTY], PLAIN, rack(count=2), [INCH])
    assert buying.lines == () and buying.enough[0].name == "Beech from the hill"
    assert set(buying.enough[0].from_rack) <= {"BEE1", "BEE2"} and len(buying.enough[0].from_rack) == 1


def test_woods_and_rough_thicknesses_are_told_apart():
    """18 mm boards are milled to 20 and come out of 4/4 (25.4 - 3 = 22.4); 30 mm ones are milled to 32: 6/4 yields
    38.1 - 3 = 35.1, and 5/4, 31.75, does not."""
    thick = Want("Thick", record(["bbbb", "wwww"], thickness=30))
    six = [replace(INCH, nominal=inch("3/2"), thickness=inch("3/2")), replace(INCH, nominal=inch("5/4"))]
    buying = what_to_buy([TWENTY, thick], PLAIN, [], [INCH, *six])
    assert {(line.wood, line.words.split()[1]) for line in buying.lines} == {
        ("beech", "4/4"), ("beech", "6/4"), ("walnut-black", "6/4"),
    }  # fmt: skip


def test_sizes_of_another_wood_stand_in_and_say_so_without_a_price():
    line = only(what_to_buy([TWENTY], PLAIN, [], [replace(INCH, wood="sapele")]))
    assert line.likely[0].before and line.likely[0].other_wood and line.cost is None


def test_with_nothing_bought_before_a_usual_board_is_assumed():
    line = only(what_to_buy([TWENTY], PLAIN, []))
    assert line.words == "one 4/4 of 150 mm × 2400 mm or alike"
    assert not line.likely[0].before and line.amount.unit == "m3" and line.cost is None
    inches = only(what_to_buy([TWENTY], replace(PLAIN, unit="in"), []))
    assert inches.words == "one 4/4 of 6 in × 96 in or alike" and inches.amount.unit == "bf"


def test_a_border_longer_than_any_board_bought_before_asks_for_a_longer_one():
    """400 mm of border ask for a rough length of 535 (28 and 3 and 100 more, in steps of 5) and 50 of end trims: 585.
    Boards of 500 were bought; the usual one of 2400 will do. One of 2500 asks for 2,685: in steps of 100, 2700."""
    shop = replace(PLAIN, longest_rip=mm(3000))
    short = [replace(INCH, length=mm(500))]
    line = only(what_to_buy([Want("Long", record(["b" * 20] * 2, shop, end=30, border="beech"))], shop, [], short))
    assert not line.likely[0].before and line.likely[0].length == mm(2400)
    far = record(["b" * 125], shop, end=30, border="beech")
    line = only(what_to_buy([Want("Far", far)], shop, [], short))
    assert line.likely[0].length == mm(2700)


def test_the_makers_own_yield_goes_before_the_plans_and_more_boards_are_named_where_it_asks_for_them():
    """A fifth of one per cent: 144,000 mm³ ask for 72,000,000, which is 31.5 boards of 2,286,000 mm³."""
    own = {"beech": PastYield(Fraction(2), Fraction(1000), 3)}
    line = only(what_to_buy([TWENTY], PLAIN, [], [INCH], yields=own))
    assert line.assumed.value == Fraction(1, 500) and "3 finished jobs" in line.why
    assert line.amount.value == Fraction(72_000_000) / MM3_PER_BOARD_FOOT
    assert line.words.endswith("by your own yield rather 32")
    assert line.cost.median.value == Decimal("244.09")  # 30.51... bf at 8.00
    better = {"beech": PastYield(Fraction(1), Fraction(2), 1)}
    assert "rather" not in only(what_to_buy([TWENTY], PLAIN, [], [INCH], yields=better)).words


def test_the_cost_range_is_told_from_the_prices_given():
    paid = {("beech", inch(1), "bf"): PriceRange("bf", Decimal("6"), Decimal("8"), Decimal("11"), 5)}
    cost = only(what_to_buy([TWENTY], PLAIN, [], [INCH], prices=paid)).cost
    # 0.96875 bf and a little less, exactly 90,000 x 25.4 / (144 x 25.4³).
    assert [str(one.value) for one in (cost.least, cost.median, cost.most)] == ["5.81", "7.75", "10.66"]
    assert "5 purchases" in cost.least.source


def test_the_size_that_costs_least_comes_first_and_others_follow():
    wide = replace(INCH, width=mm(200), length=mm(2000))
    line = only(what_to_buy([TWENTY], PLAIN, [], [wide, wide, INCH]))
    assert [boards.width for boards in line.likely] == [mm(100), mm(200)]


def test_thirty_per_cent_waste_and_adding_thirty_per_cent_are_told_apart():
    """Ten in the finished boards: 30 % waste asks for 10 ÷ 0.70 = 14.29, adding 30 % for 13, of which 3 are lost: 3 of
    13 are 23 % (woodweb.com, Calculating Waste from Rough Lumber)."""
    net = Figure(Fraction(10), "bf", "net")
    waste, added = losing(net, Fraction(3, 10)), adding(net, Fraction(3, 10))
    assert (waste.value, added.value) == (Fraction(100, 7), 13)
    assert "30 % waste" in waste.rule and "net ÷ 0.70" in waste.rule
    assert "add 30 %" in added.rule and "23 % waste" in added.rule
    line = only(what_to_buy([TWENTY], PLAIN, [], [INCH], waste=Fraction(1, 4)))
    assert line.waste.value == line.net.value * 4 / 3 and line.adding.value == line.net.value * 5 / 4


@pytest.mark.parametrize(
    ("per", "expected"),
    [
        ("bf", Fraction(8)),  # 12 x 96 x 1 in ÷ 144
        ("sqft", Fraction(8)),  # a foot by eight
        ("m2", inch(12).mm * inch(96).mm / 10**6),
        ("m3", inch(12).mm * inch(96).mm * inch(1).mm / 10**9),
        ("m", inch(192).mm / 1000),  # boards 6 in wide: twice 96 in
        ("piece", Fraction(2)),
        # 548.8 kg a cubic metre of American sycamore at 12 % (Wood Handbook by way of planner.woods.mass).
        ("kg", Fraction("548.8") * inch(12).mm * inch(96).mm * inch(1).mm / 10**9),
    ],
)
def test_eight_board_feet_of_boards_six_inches_wide_in_every_unit_they_are_sold_by(per, expected):
    volume = inch(12).mm * inch(96).mm * inch(1).mm
    assert amount(volume, per, inch(1), inch(6), inch(96), "sycamore") == expected


def test_boards_are_counted_whole():
    volume = inch(6).mm * inch(97).mm * inch(1).mm
    assert amount(volume, "piece", inch(1), inch(6), inch(96), "sycamore") == 2


def test_what_no_purchase_mends_is_refused_in_words():
    with pytest.raises(CutPlanError, match="every blade takes something"):
        what_to_buy([TWENTY], replace(PLAIN, crosscut_kerf=mm(0)), [], [INCH])
    long = record(["b" * 30], replace(PLAIN, longest_rip=mm(3000)), end=30, border="beech")
    with pytest.raises(CutPlanError, match="rips no more than 400 mm"):
        what_to_buy([Want("Long", long)], PLAIN, [], [INCH])


@pytest.mark.parametrize("seed", range(12))
def test_with_the_likely_boards_on_the_rack_nothing_is_missing(seed):
    rng = random.Random(seed)
    shop = Shop()
    wants = [
        Want(str(n), record(some_rows(rng, 6, 8), shop, pitch=rng.randint(14, 25), side=30, end=30, method="runs"))
        for n in range(2)
    ]
    past = [
        BoughtBefore(wood, inch("5/4"), inch("5/4"), mm(rng.randint(90, 200)), mm(rng.randint(12, 24) * 100))
        for wood in ("beech", "walnut-black", "sapele")
        for _ in range(2)
    ]
    there = [
        piece
        for wood in ("beech", "sapele")
        for piece in rack(wood, thickness=30, width=rng.randint(40, 90), length=rng.randint(400, 900), count=2)
    ]
    buying = what_to_buy(wants, shop, there, past)
    assert buying.lines
    for line in buying.lines:
        boards = line.likely[0]
        there += rack(
            line.wood, thickness=boards.nominal, width=boards.width, length=boards.length, count=boards.count, mark="N"
        )
        assert 0 < line.assumed.value < 1 and line.amount.value <= boards.amount.value
        assert not line.waste.value < line.net.value and line.adding.value < line.waste.value
    there = [replace(piece, mark=f"{piece.wood}{n}") for n, piece in enumerate(there)]
    again = what_to_buy(wants, shop, there, past)
    assert again.lines == () and {one.wood for one in again.enough} >= {line.wood for line in buying.lines}
