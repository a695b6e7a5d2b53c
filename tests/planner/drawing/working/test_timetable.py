"""A drawn timetable measured back: hands, jigs and clamps stand where the plan has them, and every step is told."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from planner.drawing.marking import PAPER, PHONE, SCREEN
from planner.drawing.working.evenings import row_ranges
from planner.drawing.working.timetable import timetable_svgs
from planner.gluing import HANDS, GlueWork, cards_of, find_timetable
from tests.planner.drawing.working.canvas import Drawn, assert_plain, assert_words_have_room
from tests.planner.gluing.test_cards import by_hand
from tests.support.glue_boards import ALL_AROUND, board, work

FIRST = date(2026, 11, 30)
ROOMS = {"paper": PAPER, "screen": SCREEN, "phone": PHONE}
DAY = 24 * 60


@pytest.fixture(scope="module", params=[8, 14], ids=["8 by 8", "14 by 14"])
def made(request):
    glue = work(board(request.param), around=ALL_AROUND)
    return glue, find_timetable(glue.work, steps=10)


def drawn(glue: GlueWork, timetable, room=PAPER, **given) -> list[Drawn]:
    return [Drawn(svg) for svg in timetable_svgs(glue, timetable, days, room=room, title="Board", **given)]


def days(after: int) -> str:
    when = FIRST + timedelta(days=after)
    return f"{when:%a} {when.day} {when:%b}"


class Clock:
    """Minutes of the plan for places on a drawing, from its evenings and what is written of them."""

    def __init__(self, one: Drawn) -> None:
        times = [tuple(map(int, pair.split())) for pair in one.data("evenings").split(",")]
        self.evenings = list(zip(times, one.boxes("evenings"), strict=True))

    def minute(self, x: float) -> float | None:
        """None in the strips between evenings."""
        for (opens, closes), (left, _, long, _) in self.evenings:
            if left - 0.01 <= x <= left + long + 0.01:
                return opens + (x - left) / long * (closes - opens)
        return None


@pytest.mark.parametrize("room", ROOMS.values(), ids=ROOMS)
def test_hands_stand_where_the_plan_has_them_each_step_once(made, room):
    glue, timetable = made
    slot = glue.work.slot_minutes
    found = []
    for one in drawn(glue, timetable, room):
        clock = Clock(one)
        for left, _, long, _ in one.boxes("hands"):
            found.append((clock.minute(left), clock.minute(left + long)))
    planned = sorted(
        (start * slot, (start + task.attended) * slot)
        for task, start in zip(glue.work.tasks, timetable.starts, strict=True)
        if task.attended
    )
    assert len(found) == len(planned)
    for one, other in zip(sorted(found), planned, strict=True):
        assert one == pytest.approx(other, abs=1)


def test_as_much_is_in_use_as_the_plan_says_at_every_moment_of_an_evening(made):
    glue, timetable = made
    slot = glue.work.slot_minutes
    for one in drawn(glue, timetable):
        clock, full = Clock(one), float(one.data("full"))
        for name, there in glue.work.capacity.items():
            if name == HANDS:
                continue
            boxes = one.boxes(f"uses of {name}")
            for (opens, closes), (left, _, long, _) in clock.evenings:
                for minute in range(opens + 2, closes, slot):
                    x = left + long * (minute - opens) / (closes - opens)
                    shown = sum(high for at, _, wide, high in boxes if at <= x < at + wide) / full * there
                    planned = sum(
                        dict(task.uses).get(name, 0)
                        for task, start in zip(glue.work.tasks, timetable.starts, strict=True)
                        if start * slot <= minute < (start + task.span) * slot
                    )
                    assert shown == pytest.approx(planned, abs=0.01), (name, minute)


def test_what_outlasts_an_evening_stays_drawn_until_somebody_is_there():
    """By hand: row 3 is clamped at half past nine and over ten minutes past ten, when nobody is there."""
    (one,) = drawn(*by_hand())
    boxes = one.boxes("uses of jig")
    evenings = one.boxes("evenings")
    first_ends, second_begins = evenings[0][0] + evenings[0][2], evenings[1][0]
    assert any(
        left < first_ends and left + long == pytest.approx(second_begins, abs=0.01) for left, _, long, _ in boxes
    )
    assert one.said.startswith("Mon 30 Nov: 19:00 Rows glued: 4 steps; stays overnight.")


def test_by_hand_every_number_has_its_words():
    (one,) = drawn(*by_hand())
    texts = one.texts()
    assert "19:00 Rows glued: 4 steps; stays overnight" in texts and "19:00 row 4; clamps off 19:40" in texts
    assert texts.count("Mon 30 Nov") == 2 and texts.count("Tue 1 Dec") == 2
    assert texts[-1] == "Ready Tue 1 Dec, 19:40"


@pytest.mark.parametrize("room", ROOMS.values(), ids=ROOMS)
def test_every_step_is_told_alone_or_with_its_like(made, room):
    glue, timetable = made
    said = " ".join(one.said for one in drawn(glue, timetable, room))
    for card in cards_of(glue, timetable):
        lines = card.lines
        for n, line in enumerate(lines):
            alone = all(
                (other.step.kind, other.step.copy) != (line.step.kind, line.step.copy)
                for other in lines[max(n - 1, 0) : n + 2]
                if other is not line
            )
            if alone:
                assert f"{line.at // 60:02}:{line.at % 60:02} {line.step.words}" in said
    everything = sum(len(card.lines) for card in cards_of(glue, timetable))
    assert everything == sum(len(one.boxes("hands")) for one in drawn(glue, timetable, room))


@pytest.mark.parametrize("room", ROOMS.values(), ids=ROOMS)
def test_words_have_room_and_every_drawing_fits_a_page(made, room):
    for one in drawn(*made, room):
        assert_words_have_room(one)
        assert_plain(one)
        if room is PAPER:
            assert one.height <= room.high


def test_a_long_timetable_breaks_into_drawings_that_go_on_from_each_other():
    glue = work(board(20), board(16), around=ALL_AROUND, weeks=30)
    timetable = find_timetable(glue.work, steps=1)
    pages = drawn(glue, timetable)
    cards = cards_of(glue, timetable)
    assert len(pages) > 2
    shown = [pair for one in pages for pair in one.data("evenings").split(",")]
    assert shown == [f"{card.day * DAY + card.opens} {card.day * DAY + card.closes}" for card in cards]
    for number, one in enumerate(pages, 1):
        assert one.root.get("aria-label").endswith(f"drawing {number} of {len(pages)}")
        assert len(one.boxes("evenings")) <= 6 and one.height <= PAPER.high
    assert pages[-1].texts()[-1].startswith("Ready ")
    assert not any(text.startswith("Ready ") for one in pages[:-1] for text in one.texts())


def test_boards_made_together_are_told_by_their_names():
    glue = work(board(8), board(8), around=ALL_AROUND)
    pages = drawn(glue, find_timetable(glue.work, steps=1), labels=("Heron", "Lantern"))
    said = " ".join(one.said for one in pages)
    assert ", Heron" in said and ", Lantern" in said
    alone = drawn(*_one_board(), labels=("Heron",))
    assert ", Heron" not in " ".join(one.said for one in alone)


def _one_board():
    glue = work(board(8), around=ALL_AROUND)
    return glue, find_timetable(glue.work, steps=1)


def test_what_cures_and_travels_is_drawn_though_nobody_is_at_it(made):
    pages = drawn(*made)
    words = " ".join(text for one in pages for text in one.texts())
    assert "cures" in words and "Nobody at it" in words
    assert sum(len(one.boxes("waits")) for one in pages) >= 3


@pytest.mark.parametrize(
    ("rows", "told"), [([4], "4"), ([1, 2], "1 and 2"), ([1, 2, 3], "1 to 3"), ([1, 3, 4, 5], "1, 3 to 5")]
)
def test_rows_are_told_as_a_maker_counts_them(rows, told):
    assert row_ranges(rows) == told
