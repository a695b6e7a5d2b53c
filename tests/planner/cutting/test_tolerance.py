"""What a tile may be off, reckoned by hand and held against dice; where the error of a row goes."""

import random
from fractions import Fraction
from statistics import pstdev

import pytest

from planner.cutting.tolerance import ToleranceError, datum_seam, run_out, scatter, tolerance
from planner.figures import Figure
from planner.measures import Length
from planner.shop import Shop

mm, inch = Length.of_mm, Length.of_inches


def test_a_tenth_of_a_millimetre_a_tile_is_one_and_six_tenths_in_a_row_of_sixteen():
    assert run_out(mm("0.1"), 16).value == mm("1.6")


def test_errors_that_go_either_way_add_up_as_their_squares_do():
    # √16 = 4.
    assert scatter(mm("0.1"), 16).value == mm("0.4")
    # √10 = 3.16227766..., rounded up at the third decimal.
    assert scatter(mm(1), 10).value == mm("3.163")


def test_scattering_is_what_dice_show():
    """Elementary statistics against 4,000 rows of 16 thrown; a seed, so that it never changes."""
    rng = random.Random(16)
    rows = [sum(rng.gauss(0, 0.1) for _ in range(16)) for _ in range(4000)]
    assert float(scatter(mm("0.1"), 16).value.mm) == pytest.approx(pstdev(rows), rel=0.05)


@pytest.mark.parametrize(("columns", "datum"), [(16, 8), (15, 7), (2, 1), (1, 0)])
def test_the_datum_seam_is_the_one_nearest_the_middle(columns, datum):
    assert datum_seam(columns) == datum
    assert all(max(datum, columns - datum) <= max(seam, columns - seam) for seam in range(columns + 1))


def test_a_row_of_sixteen_with_five_millimetres_left_long():
    """Room at an end: half of 5 = 2.5; at a seam a twentieth of 20 = 1. Eight tiles to a side: 1 / 8 = 0.125."""
    told = tolerance(16, mm(20), Shop(end_trim=mm(5)))
    assert (told.datum, told.each.value) == (8, mm("0.125"))
    # Two seams eight tiles from the datum differ by √16 = 4 times one tile's spread; twice that has to stay in 1.
    assert told.spread.value == mm("0.125")


def test_where_little_is_left_long_the_ends_decide():
    # Half of 1 is 0.5; 0.5 / 8 = 0.0625.
    told = tolerance(16, mm(20), Shop(end_trim=mm(1)))
    assert told.each.value == mm("0.0625")
    assert "may be off by 0.06 mm" in told.said[-2].words


def test_where_nothing_is_left_long_the_seams_decide():
    told = tolerance(15, mm(20), Shop(end_trim=mm(0)))
    assert told.each.value == mm(Fraction(1, 8))
    assert not any("left long" in one.words for one in told.said)


def test_the_sentences_say_how_much_and_where_it_goes():
    said = [one.words for one in tolerance(16, mm(20), Shop(end_trim=mm(5)), rows=12).said]
    assert said[0] == (
        "0.1 mm too long on every tile makes a row of 16 longer by 1.6 mm: an error of the stop adds up."
    )
    assert "makes it scatter by 0.4 mm" in said[1]
    assert said[2] == (
        "Laid from the seam after tile 8, 8 tiles run out to either side, so an end is off by 0.8 mm at the most, "
        "instead of 1.6 mm."
    )
    assert "the seam 8 tiles from there stands 0.8 mm off" in said[3]
    assert "goes into the 5 mm the rows are left long" in said[4]
    assert "12 rows deeper by 1.2 mm" in said[5]


def test_an_odd_row_runs_out_further_on_one_side():
    said = tolerance(15, mm(20), Shop()).said[2]
    assert "7 and 8 tiles run out" in said.words
    assert said.figure.value == mm("0.8")


def test_an_inch_shop_reads_it_in_inches():
    told = tolerance(16, inch("3/4"), Shop(unit="in", end_trim=inch("1/4")), error=inch("1/128"))
    assert "a row of 16 longer by 1/8 in" in told.said[0].words


def test_the_shares_an_error_may_take_can_be_chosen():
    # A tenth of 5 is 0.5, a half of 20 is 10: 0.5 / 8.
    told = tolerance(16, mm(20), Shop(end_trim=mm(5)), of_left_long=Fraction(1, 10), of_pitch=Fraction(1, 2))
    assert told.each.value == mm("0.0625")
    assert "no end takes more than 10 % of what is left long there" in told.said[-2].words
    for wrong in ({"of_pitch": Fraction(0)}, {"of_left_long": Fraction(11, 10)}):
        with pytest.raises(ToleranceError) as refused:
            tolerance(16, mm(20), Shop(), **wrong)
        assert refused.value.field == "share"


def test_every_sentence_carries_its_figure_and_every_figure_its_rule():
    for one in tolerance(16, mm(20), Shop(), rows=16).said:
        assert one.figure.rule
        assert Figure.from_record(one.figure.as_record()) == one.figure


@pytest.mark.parametrize(("columns", "pitch", "error"), [(0, 20, "0.1"), (16, 0, "0.1"), (16, 20, "-0.1")])
def test_a_row_that_is_none_is_refused(columns, pitch, error):
    with pytest.raises(ToleranceError) as refused:
        tolerance(columns, mm(pitch), Shop(), error=mm(error))
    assert refused.value.mend
