"""What is done to a board once it is cut to size: every rule, and what is refused in words.

Sizes and minutes are assumptions (from memory and common practice, no source)."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from planner.build import DETAILS, BoardSpec, BuildError, build, detail_minutes, details_of, load_of
from planner.figures import Figure
from planner.measures import Length
from planner.pattern import Pattern
from planner.shop import Shop, StockSize

mm = Length.of_mm
# Ten columns, a weak seam at either side of the middle: only the borders carry it.
PATTERN = Pattern.of([[None, None, None, None, "beech", "ash", None, None, None, None]] * 6)
SPEC = BoardSpec("serving", mm(20), mm(18), mm(40), mm(40), "runs", 1, "sycamore")


def board(*details, shop=None, pattern=PATTERN, **changes):
    spec = replace(SPEC, details=details, **changes)
    return build(pattern, spec, spec.method, shop or Shop())


def refusal(*details, **changes):
    with pytest.raises(BuildError) as error:
        details_of(board(*details, **changes))
    assert error.value.field == "details" and error.value.mend
    return str(error.value)


@pytest.mark.parametrize(
    ("details", "changes", "words"),
    [
        (("wings",), {}, "no detail called"),
        (("groove",), {"use": "wall"}, "not for a board made to hang"),
        (("feet",), {"use": "wall"}, "not for a board made to hang"),
        (("handles",), {"use": "wall"}, "not for a board made to hang"),
        (("hanger",), {}, "It is for one made to hang on a wall"),
        (("chamfer", "round"), {}, "Choose one"),
        (("handles", "grips"), {}, "Choose one"),
        # No more than half of the thickness: a radius of 6 mm wants 12.
        (("round",), {"thickness": mm(11)}, "at least 12 mm thick"),
        # No more than a third: a groove 4 mm deep wants 12.
        (("groove",), {"thickness": mm(11)}, "at least 12 mm thick"),
        # 12 mm of screw and 3 under its point.
        (("feet",), {"thickness": mm(14)}, "at least 15 mm thick"),
        (("round",), {"side_border": mm(5)}, "side borders at least 6 mm"),
        (("groove",), {"side_border": mm(24)}, "side borders at least 25 mm"),
        (("groove",), {"end_border": mm(0)}, "top and bottom borders at least 25 mm"),
        (("handles",), {"end_border": mm(29)}, "never at the ends"),
        (("dedication",), {"end_border": mm(17)}, "bottom border is 17 mm wide"),
        (("hanger",), {"use": "wall", "end_border": mm(24)}, "top border is 24 mm wide"),
        # Side by side on one face: 25 for the groove, 18 for the words.
        (("groove", "dedication"), {}, "at least 43 mm each, or leave one out"),
    ],
)
def test_what_does_not_fit_is_refused_with_what_would_do(details, changes, words):
    assert words in refusal(*details, **changes)


@pytest.mark.parametrize(
    ("details", "changes"),
    [
        (("round",), {"thickness": mm(12), "side_border": mm(6), "end_border": mm(6)}),
        (("groove",), {"thickness": mm(12), "side_border": mm(25), "end_border": mm(25)}),
        (("feet",), {"thickness": mm(15), "end_border": mm(26)}),
        (("handles",), {"end_border": mm(30), "side_border": mm(0)}),
        (("grips", "chamfer", "mark"), {}),
        (("dedication",), {"end_border": mm(18)}),
        (("hanger", "dedication", "mark"), {"use": "wall"}),
        (("groove", "dedication"), {"end_border": mm(43)}),
    ],
)
def test_what_just_fits_is_made(details, changes):
    made = details_of(board(*details, **changes))
    assert [one.key for one in made] == [key for key in DETAILS if key in details]


def test_every_screw_is_in_the_border_and_off_the_line_of_every_weak_seam():
    # Seams at 40 + 4 × 20, 40 + 5 × 20 and 40 + 6 × 20 mm. Handles' screws 96 apart stand at 92 and 188 without moving.
    for pitch in (mm(17), mm(20), mm("21.5")):
        made = board("handles", "feet", pitch=pitch)
        weak = [mm(40) + pitch * seam.column for seam in made.seams if seam.share < made.shop.least_carried]
        assert made.seams and all(len(one.screws) == 4 for one in details_of(made))
        for screw in (screw for one in details_of(made) for screw in one.screws):
            assert screw.y < mm(40) or screw.y > made.finished_height - mm(40)
            assert all(abs((screw.x - line).mm) >= 3 for line in weak)


def test_a_weak_seam_under_a_handle_moves_it_along_the_border():
    strict = Shop(least_carried=Fraction(1))
    near = Pattern.of([["ash", None, "beech", None, None, None, None, None]] * 6)
    moved = details_of(board("handles", shop=strict, pattern=near, pitch=mm(25), side_border=mm(0)))[0].screws
    still = details_of(
        board("handles", shop=Shop(least_carried=Fraction(0)), pattern=near, pitch=mm(25), side_border=mm(0))
    )
    # 200 mm long, screws at 52 and 148. Seams at 25, 50 and 75: 52 is 2 mm from one, and 53 the first place 3 off.
    assert [screw.x for screw in still[0].screws[:2]] == [mm(52), mm(148)]
    assert [screw.x for screw in moved[:2]] == [mm(53), mm(149)]


def test_where_no_place_is_off_the_weak_seams_handles_are_refused():
    pattern = Pattern.of([["ash", "beech"] * 20] * 6)
    with pytest.raises(BuildError, match="no place for the screws") as error:
        details_of(
            board("handles", shop=Shop(least_carried=Fraction(1)), pattern=pattern, pitch=mm(5), side_border=mm(0))
        )
    assert error.value.field == "details"


def test_rows_upright_have_their_handles_left_and_right_and_hang_by_their_top():
    # As laid: side borders hang at top and bottom.
    made = details_of(board("handles", along="columns"))[0]
    assert "left and right borders" in made.where
    wide = refusal("hanger", use="wall", along="columns", side_border=mm(24), shop=Shop(least_carried=Fraction(0)))
    assert "top border is 24 mm wide" in wide
    hung = details_of(board("hanger", use="wall", along="columns", shop=Shop(least_carried=Fraction(0))))[0]
    # The top hangs where rows end.
    assert all(screw.x > mm(6 * 20 + 40) for screw in hung.screws)


def test_an_upright_board_does_not_hang_across_a_weak_seam():
    words = refusal("hanger", use="wall", along="columns", shop=Shop(least_carried=Fraction(9, 10)))
    assert "hang across seams" in words


def test_no_screw_goes_into_end_grain():
    spec = replace(SPEC, method="panels", details=("feet",))
    stock = {wood: StockSize(mm(38), mm(150)) for wood in ("sycamore", "beech", "ash")}
    with pytest.raises(BuildError, match="end grain"):
        details_of(build(PATTERN, spec, "panels", Shop(), stock=stock))


def test_minutes_are_by_the_metre_apiece_or_a_board():
    # 280 by 200 mm: 0.96 m around, both faces 1.92 m at 2 minutes; two grips at 10; a mark at 5.
    made = {one.key: one.minutes.value for one in details_of(board("chamfer", "grips", "mark"))}
    assert made == {"chamfer": Fraction("3.84"), "grips": 20, "mark": 5}
    # The middle of the groove runs 15 mm in from every edge: 0.96 m less 8 × 15 mm, at 15 minutes.
    groove = details_of(board("groove"))[0]
    assert groove.minutes.value == Fraction("0.84") * 15


def test_the_makers_own_minutes_and_prices_stand_before_what_is_assumed():
    own = board("feet", "mark", shop=Shop(details=(("feet", Fraction(2), Decimal("0.35")),)))
    feet, mark = details_of(own)
    assert (feet.minutes.value, feet.hardware, feet.price) == (8, 4, Decimal("0.35"))
    assert "settings" in feet.minutes.source and "assumption" in mark.minutes.source
    assert detail_minutes(own) == 8 + 5


def test_a_board_without_details_has_none():
    assert details_of(board()) == () and detail_minutes(board()) == 0


def test_a_hanger_is_taken_for_four_times_the_mass():
    # Common practice, no source.
    assert load_of(Figure(Fraction(3, 2), "kg", "weighed")).value == 6
