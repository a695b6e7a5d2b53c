"""A card a session: what is done in order, what comes out of the clamps when, what stays in them overnight."""

from dataclasses import replace
from fractions import Fraction

from planner.gluing import GlueWork, Step, Task, Timetable, Work, cards_of, find_timetable
from tests.support.glue_boards import ALL_AROUND, WHITE, board, work

DAY = 288
EVENING = (228, 264)  # 19:00 to 22:00
NEXT = (DAY + 228, DAY + 264)


def by_hand():
    """Three rows in one jig and a lot cut while the second holds; the third stays in overnight."""
    names = ["row 1", "row 2", "lot 2", "row 3", "row 4"]
    jig = (("jig", 1),)
    tasks = (
        Task("1", 0, 2, 6, jig),
        Task("2", 0, 2, 6, jig),
        Task("lot", 0, 6),
        Task("3", 0, 2, 6, jig),
        Task("4", 0, 2, 6, jig),
    )
    steps = tuple(
        Step(
            task.name, "row", "rows glued", 1, 1, name, ends="clamps off", cautions=("dust",) if name == "lot 2" else ()
        )
        for task, name in zip(tasks, names, strict=True)
    )
    glue = GlueWork(Work(tasks, (), {"hands": 1, "jig": 1}, (EVENING, NEXT)), steps)
    return glue, Timetable((228, 236, 238, 258, NEXT[0]), NEXT[0] + 8)


def test_an_evening_by_hand():
    first, second = cards_of(*by_hand())
    assert (first.number, first.day, first.opens, first.closes) == (1, 0, 19 * 60, 22 * 60)
    assert [(line.at, line.minutes, line.off) for line in first.lines] == [
        (19 * 60, 10, 19 * 60 + 40),
        (19 * 60 + 40, 10, 20 * 60 + 20),
        (19 * 60 + 50, 30, None),
        (21 * 60 + 30, 10, None),
    ]
    # While row 2 holds the lot is cut.
    assert first.lines[1].meanwhile == ("lot",)
    assert first.lines[2].holding == ("2",)
    assert [(ending.words, ending.at) for ending in first.endings] == [("row 1", 1180), ("row 2", 1220)]
    assert [(ending.words, ending.at) for ending in first.overnight] == [("row 3", 22 * 60 + 10)]
    assert (first.hands_used, first.hands_there) == (60, 180)
    assert first.cautions == ("dust",)
    # On the next evening it is what is taken out first; it was over ten minutes past ten the day before.
    assert [(ending.words, ending.at) for ending in second.standing] == [("row 3", 22 * 60 + 10 - 24 * 60)]
    assert (second.number, second.day) == (2, 1)


def test_every_step_that_takes_hands_is_on_one_card_and_every_hold_comes_out_once():
    glue = work(board(12), around=ALL_AROUND)
    found = find_timetable(glue.work, steps=10)
    cards = cards_of(glue, found)
    on_cards = [line.step.key for card in cards for line in card.lines]
    attended = [step.key for step, task in zip(glue.steps, glue.work.tasks, strict=True) if task.attended]
    assert sorted(on_cards) == sorted(attended)
    pressed = [step.key for step, task in zip(glue.steps, glue.work.tasks, strict=True) if task.hold and task.attended]
    out = [ending.key for card in cards for ending in (*card.standing, *card.endings)]
    assert sorted(out) == sorted(pressed)
    for card in cards:
        assert [line.at for line in card.lines] == sorted(line.at for line in card.lines)
        assert card.opens <= card.lines[0].at
        assert card.hands_used <= card.hands_there
        # What is left in when the session closes is what stays, and nothing else.
        assert {line.step.key for line in card.lines if line.step.ends and line.off is None} <= {
            ending.key for ending in card.overnight
        }


def test_what_is_ticked_and_still_in_clamps_is_told_when_it_is_over():
    glue = work(board(8))
    before = [step.key for step in glue.steps[: [step.kind for step in glue.steps].index("row") + 1]]
    row, opens = before[-1], glue.work.sessions[0][0]
    left = work(board(8), done=before, ready={row: opens - 1})
    card = cards_of(left, find_timetable(left.work, steps=5))[0]
    assert row in [ending.key for ending in card.endings]
    assert row not in [line.step.key for line in card.lines]


def test_a_row_is_marked_counted_and_held_down_before_full_pressure():
    row = next(step for step in work(board(8)).steps if step.kind == "row")
    assert any(words.startswith("dry count: ") for words in row.first)
    assert row.first[-1] == "hold down before full pressure"
    assert row.writes[0] == "grain mark"
    assert row.writes[1] == f"row number {row.rows[0]}"
    assert row.writes[2].startswith("datum ")
    assert row.writes[3] == "face side"
    # The sheet's times and lowest temperature, in the shop's own degrees.
    assert "each joint closed 5 min after spreading, all pressed 15 min after the first" in row.first
    cold = replace(WHITE, lowest_celsius=Fraction(10))
    for unit, words in (("mm", "10 °C"), ("in", "50 °F")):
        row = next(step for step in work(board(8), adhesive=cold, unit=unit).steps if step.kind == "row")
        assert f"wood, glue and shop at {words} or more" in row.first
        assert "glue_temperature" in row.cautions
    cut = next(step for step in work(board(8)).steps if step.kind == "cut")
    assert "line along each strip's face" in cut.first[0]
    assert cut.cautions[0] == "small_parts"
