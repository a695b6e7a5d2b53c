"""Hours as figures: the sum that is shown is the sum that was made, and it says from whose work."""

from fractions import Fraction

import pytest

from planner.errors import PlannerError
from planner.hours import DEFAULT_TIMES, Logged, forecast, hour_figures, learn, times_as_said
from planner.hours.learning import STRAY

BOARD = {"setup_job": Fraction(1), "crosscut": Fraction(256), "sand_dm2": Fraction(50)}


def log(jobs, factor):
    return [Logged(BOARD, (45 + 128 + 150) * Fraction(factor), f"job {number}") for number in range(jobs)]


def test_without_a_log_the_likely_hours_are_the_defaults_and_the_careful_ones_are_wide():
    figures = hour_figures(learn([]), BOARD)
    assert figures["hours"].value == Fraction(323, 60)
    assert 1.6 < figures["hours_careful"].value / figures["hours"].value < 1.8
    assert figures["hours_careful"].source == "no job of yours is logged yet"


def test_after_three_jobs_they_are_the_makers_and_say_so():
    times = learn(log(3, Fraction(3, 2)))
    figures = hour_figures(times, BOARD)
    told = forecast(times, BOARD)
    assert figures["hours_careful"].source == "from 3 jobs of yours"
    # Times are shown to three figures, and what is shown is reckoned with.
    assert float(figures["hours"].value) == pytest.approx(told.likely / 60, rel=0.005)
    assert float(figures["hours_careful"].value) == pytest.approx(told.careful / 60, rel=0.006)
    for term in figures["hours"].terms:
        count, each = (inner.figure.value for inner in term.figure.terms)
        assert term.figure.value == count * each
        assert term.figure.terms[1].figure.rule == "your log, 3 jobs of yours"
    assert figures["hours"].value == sum(term.figure.value for term in figures["hours"].terms) / 60
    likely, factor, jobs = (term.figure.value for term in figures["hours_careful"].terms)
    assert figures["hours_careful"].value == likely * factor and jobs == 3


def test_a_time_set_by_hand_stands_as_it_was_set_and_says_so():
    times = learn(log(3, 2)).with_set({"crosscut": Fraction(1, 3)})
    assert times.exact["crosscut"] == Fraction(1, 3)
    assert times.said_of("crosscut") == "set by hand" and times.said_of("oil_dm2").startswith("the default")
    # It has nothing to do with the pace of the rest any more.
    i = list(DEFAULT_TIMES).index("crosscut")
    assert times.spread[i].sum() == times.spread[i, i] <= STRAY**2


def test_minutes_as_said_are_the_defaults_where_nothing_is_said():
    times = times_as_said({"crosscut": Fraction(1)})
    assert times.exact == {**DEFAULT_TIMES, "crosscut": Fraction(1)} and list(times.by_hand) == ["crosscut"]


def test_several_boards_have_hours_each():
    figures = hour_figures(learn([]), BOARD, quantity=4)
    assert figures["hours_each"].value == figures["hours"].value / 4
    assert "hours_each" not in hour_figures(learn([]), BOARD)


def test_work_that_takes_no_time_has_no_careful_hours_either():
    figures = hour_figures(learn([]).with_set(dict.fromkeys(DEFAULT_TIMES, Fraction(0))), BOARD)
    assert figures["hours"].value == figures["hours_careful"].value == 0


@pytest.mark.parametrize("by_hand", [{"carving": Fraction(1)}, {"crosscut": Fraction(-1)}])
def test_a_time_set_by_hand_that_makes_no_sense_is_refused(by_hand):
    with pytest.raises(PlannerError):
        learn([]).with_set(by_hand)


def test_a_maker_who_never_makes_panels_is_learned_from_all_the_same():
    """Operations nobody did keep their default at the maker's pace, and nothing of the others moves by their being
    there."""
    few = {name: time for name, time in DEFAULT_TIMES.items() if name in BOARD}
    lines = [
        Logged({"crosscut": 256}, 250, "job 1"), Logged({"sand_dm2": 50}, 300, "job 1"), *log(2, 2),
    ]  # fmt: skip
    with_all, with_few = learn(lines), learn(lines, few)
    for name in few:
        assert with_all.minutes[name] == pytest.approx(with_few.minutes[name], rel=1e-6)
    assert with_all.jobs_of["panel_glue"] == 0 and with_all.minutes["panel_glue"] > DEFAULT_TIMES["panel_glue"]


def test_a_log_of_many_jobs_and_lines_is_learned_from():
    lines = [
        Logged({name: 10}, 10 * time * 2, f"job {job}") for job in range(150) for name, time in DEFAULT_TIMES.items()
    ]
    assert learn(lines).minutes["crosscut"] == pytest.approx(1, rel=0.01)
