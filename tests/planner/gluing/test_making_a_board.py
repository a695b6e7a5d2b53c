"""From a kept reckoning to a board handed over: timetables keep the trade's rules, and hours stay what they are."""

import json
from dataclasses import replace
from fractions import Fraction

import pytest

from planner.gluing import TimetableError, faults_of, find_timetable, from_json, glue_board_of, to_json
from planner.gluing.concerns import KINDS
from planner.gluing.materials import Around, Clamps, Finish, RowJigs
from planner.hours import DEFAULT_TIMES, count_operations
from planner.record import to_record
from tests.support.glue_boards import ALL_AROUND, AT_ONCE, OIL, SHOP, WHITE, board, board_of, mm, reckoned, work
from tests.support.glue_works import sessions
from tests.support.trade_rules import broken_rules

MINERAL = Finish("Mineral oil", 2, 60, 1, 60, 120, 0, None, drying=False)
PLAIN = Finish("None", 0, 0, 0, 0, 0, 0, None, drying=False)


def keeps_the_rules(boards, **given):
    glue = work(*boards, **given)
    found = find_timetable(glue.work, steps=20)
    assert faults_of(found, glue.work) == ()
    asked = [given.get("shop", SHOP), given.get("adhesive", WHITE), given.get("finish", OIL)]
    assert broken_rules(glue, found, boards, *asked, given.get("around", AT_ONCE)) == []
    assert from_json(to_json(glue.work, found)) == (glue.work, found)
    assert len({step.key for step in glue.steps}) == len(glue.steps) == len(glue.work.tasks)
    assert {kind for step in glue.steps for kind in step.cautions} <= set(KINDS)
    return glue, found


@pytest.mark.parametrize(
    ("boards", "given"),
    [
        ([board(8)], {}),
        ([board(8)], {"around": ALL_AROUND, "finish": MINERAL}),
        ([board(8, border=0)], {"finish": PLAIN}),
        ([board(5, "tiles"), board(8)], {"shop": replace(SHOP, people=2)}),
        ([board(6, quantity=3)], {"around": ALL_AROUND}),
        # In halves, and in three parts: 16 rows of 25 mm and two borders.
        ([board(16, "tiles")], {"shop": replace(SHOP, widest_flattened=mm(300))}),
        ([board(16)], {"shop": replace(SHOP, widest_flattened=mm(170))}),
        # A glue that leaves time for a few joints only, and for two rows or one border at once.
        ([board(16, "tiles")], {"adhesive": replace(WHITE, assembly=6)}),
        ([board(12)], {"slot_minutes": 15, "sessions": tuple((a // 3, b // 3) for a, b in sessions(20))}),
        ([board(3)], {"shop": replace(SHOP, clamps=(Clamps("All", 30, mm(900)),))}),
    ],
    ids=lambda value: "",
)
def test_every_timetable_keeps_the_trades_rules(boards, given):
    keeps_the_rules(boards, **given)


@pytest.mark.parametrize(
    "kind", ["rip", "gauge", "cut", "row", "dress", "join", "true", "flatten", "size", "sand", "coat", "wipe", "pack"]
)
def test_the_rules_see_a_step_that_is_done_too_soon(kind):
    glue = work(board(8), around=ALL_AROUND)
    found = find_timetable(glue.work, steps=1)
    moved = tuple(0 if step.kind == kind else start for step, start in zip(glue.steps, found.starts, strict=True))
    assert broken_rules(glue, replace(found, starts=moved), [board(8)], SHOP, WHITE, OIL, ALL_AROUND)


@pytest.mark.parametrize(("method", "quantity"), [("tiles", 1), ("runs", 3)])
def test_the_minutes_of_all_steps_are_those_of_the_hours_operation_by_operation(method, quantity):
    result = reckoned(16, method, quantity)
    glue = work(glue_board_of(to_record(result)), around=ALL_AROUND)
    by_operation: dict[str, Fraction] = {}
    for step in glue.steps:
        for operation, minutes in step.minutes:
            by_operation[operation] = by_operation.get(operation, Fraction(0)) + minutes
    counts = count_operations(result.build, result.lumber)
    expected = {name: count * DEFAULT_TIMES[name] for name, count in counts.items() if count}
    expected |= {"photographs": Fraction(20 * quantity), "packing": Fraction(25 * quantity)}
    assert by_operation == expected
    # In slots, each step is rounded up by less than one.
    planned = sum(task.attended for task in glue.work.tasks) * 5
    assert sum(expected.values()) <= planned < sum(expected.values()) + 5 * len(glue.steps)


def test_a_row_glued_in_parts_is_loaded_once_more_for_each_part_and_that_is_told():
    made = board(32, "tiles")
    glue = work(made, adhesive=replace(WHITE, assembly=6))
    rows = [step for step in glue.steps if step.kind == "row"]
    # 12 joints are laid within 6 - 3 minutes at a quarter each, so 13 pieces a part at the most.
    assert 26 < made.rows[1].pieces <= 39
    assert [step.words for step in rows[:4]] == [
        "Part 1 of 3 of row 2",
        "Part 2 of 3 of row 2",
        "Part 3 of 3 of row 2",
        "Join the parts of row 2",
    ]
    assert sum(step.attended for step in rows[:4]) == 4 * 3 + made.rows[1].joints * Fraction(1, 4)
    assert any("are glued in 3 parts" in words for words in glue.remarks)


def test_what_is_remarked_of_one_of_several_boards_names_it():
    heron, lantern = (replace(board(32, "tiles"), label=name) for name in ("Heron", "Lantern"))
    alone = work(heron, adhesive=replace(WHITE, assembly=6)).remarks
    both = work(heron, lantern, adhesive=replace(WHITE, assembly=6)).remarks
    assert any(words.startswith("Pieces are cut in") for words in alone)
    for name in ("Heron", "Lantern"):
        assert sum(words.startswith(f"{name}: pieces are cut in") for words in both) == 1


def test_a_row_is_loaded_as_often_a_session_as_its_minutes_allow():
    # J · (floor((L − a) / (a + t)) + 1): 5 an evening of 180 min with one jig, a = 10 and t = 30 (a derivation of our
    # own). Three quarters of the minutes a row takes are its loading.
    times = DEFAULT_TIMES | {"row_glue": Fraction(40, 3), "joint": Fraction(0)}
    for jigs, loads in ((1, 5), (2, 10)):
        shop = replace(SHOP, jigs=(RowJigs("Jig", jigs, mm(1200)),))
        steps = work(board(16, "tiles"), times=times, shop=shop).steps
        before = [step.key for step in steps if step.kind in ("ready", "rough", "rip", "gauge", "cut", "sort")]
        glue = work(board(16, "tiles"), times=times, shop=shop, done=before)
        found = find_timetable(glue.work, steps=1)
        evening = glue.work.sessions[0]
        loaded = [
            start
            for step, start in zip(glue.steps, found.starts, strict=True)
            if step.kind == "row" and evening[0] <= start < evening[1]
        ]
        assert len(loaded) == loads


def test_halves_are_flattened_by_themselves_and_joined_last():
    glue = work(board(16, "tiles"), shop=replace(SHOP, widest_flattened=mm(300)))
    kinds = [step.kind for step in glue.steps]
    assert kinds.count("flatten") == 2
    assert kinds.count("halves") == 1
    assert {step.words for step in glue.steps if step.kind == "border"} == {
        "Glue on the top border",
        "Glue on the bottom border",
    }
    assert any("2 parts" in words and "456 mm" in words for words in glue.remarks)


def test_days_before_the_saw_and_after_the_board_is_packed_are_in_it():
    at_once, around = (keeps_the_rules([board(5)], around=one)[1] for one in (AT_ONCE, ALL_AROUND))
    assert around.finish >= at_once.finish + (7 + 14 + 2) * 288
    glue, found = keeps_the_rules([board(5)], around=replace(ALL_AROUND, in_hand=True))
    carrier = next(i for i, step in enumerate(glue.steps) if step.kind == "carrier")
    assert found.finish == found.starts[carrier] + 2 * 288


def test_what_never_cures_is_done_when_it_is_buffed():
    around = Around(True, 0, 0, 0, 0, 0, 0)
    glue, found = keeps_the_rules([board(5)], finish=MINERAL, around=around)
    wipe = next(i for i, step in enumerate(glue.steps) if step.kind == "wipe")
    assert found.finish == found.starts[wipe] + glue.work.tasks[wipe].attended


def test_short_evenings_have_short_lots():
    # Half an hour every evening but Sundays.
    evenings = tuple((day * 288 + 228, day * 288 + 234) for day in range(150) if day % 7 != 6)
    glue, _ = keeps_the_rules([board(12, "tiles")], sessions=evenings, finish=PLAIN)
    assert max(task.attended for task in glue.work.tasks) == 6
    assert [step.words for step in glue.steps][:2] == [
        "Get ready: drawings, wood, saw and sled, lot 1 of 2",
        "Get ready: drawings, wood, saw and sled, lot 2 of 2",
    ]
    # Laid on, soaked for half an hour and wiped is more than half an hour.
    with pytest.raises(TimetableError, match="wiped 30 to 90 min") as refused:
        work(board(12, "tiles"), sessions=evenings)
    assert refused.value.field == "sessions"
    # With a second half-hour three quarters of an hour later it is wiped then.
    twice = sorted([*evenings, *((opens + 15, closes + 15) for opens, closes in evenings)])
    keeps_the_rules([board(12, "tiles")], sessions=tuple(twice))
    # However long an evening is, a lot of cutting or sanding is an hour at the most.
    day_long = tuple((day * 288 + 96, day * 288 + 216) for day in range(60))
    glue, _ = keeps_the_rules([board(16, "tiles")], sessions=day_long)
    assert max(task.attended for task in glue.work.tasks) <= 12


def test_several_boards_share_the_jigs_and_each_has_its_own_saw_lots():
    glue, _ = keeps_the_rules([board(5), board(8), board(5)])
    assert {step.key.split("/")[0] for step in glue.steps} == {"1", "2", "3"}
    assert {task.board for task in glue.work.tasks} == {0, 1, 2}


def test_copies_are_cut_together_and_glued_one_by_one():
    glue = work(board(6, quantity=3))
    assert {step.key.split("/")[0] for step in glue.steps if step.kind == "cut"} == {"1"}
    assert {step.key.split("/")[0] for step in glue.steps if step.kind == "row"} == {"1.1", "1.2", "1.3"}
    assert next(step.words for step in glue.steps if step.key == "1.2/row/2") == "Row 2, copy 2"


def test_deep_rows_are_rows_and_upright_ones_take_borders_at_left_and_right():
    stripes = [[None, *row, None] for row in (["beech", "sapele"] * 2, *[["sapele", "beech"] * 2] * 3)]
    made = glue_board_of(to_record(board_of(stripes, method="deep", use="serving")))
    assert [(row.first, row.last) for row in made.rows] == [(1, 1), (2, 4)]
    glue, _ = keeps_the_rules([made])
    assert "Row 2 (rows 2 to 4 in one)" in [step.words for step in glue.steps]
    # Food lies on it.
    assert "food_contact" in next(step.cautions for step in glue.steps if step.kind == "coat")
    tall = [[None] * 6, *[[None, "beech", "sapele", "beech", "sapele", None]] * 3, [None] * 6]
    glue, _ = keeps_the_rules([glue_board_of(to_record(board_of(tall, along="columns")))])
    assert "Glue on the left and right borders" in [step.words for step in glue.steps]


def test_a_small_board_by_hand():
    # Round minutes: 10 to sort, 10 a row, 15 to dress, 30 to join four rows and 30 for two borders, and so on; 4.8 dm².
    times = {
        **dict.fromkeys(DEFAULT_TIMES, Fraction(0)),
        "row_glue": Fraction(40, 3),
        "row_join": Fraction(15),
        "strip": Fraction(20),
        "sand_dm2": Fraction(100) / Fraction("4.8"),
        "oil_dm2": Fraction(60) / Fraction("4.8"),
    }
    shop = replace(SHOP, jigs=(RowJigs("Jig", 1, mm(1200)),))
    picture = [[None] * 4, *[[None, "beech", "sapele", None]] * 2, [None] * 4]
    made = glue_board_of(to_record(board_of(picture)))
    glue = work(made, times=times, shop=shop, adhesive=replace(WHITE, assembly=30))
    found = find_timetable(glue.work, steps=50)
    day, hour = 288, 12
    at = {step.key: divmod(start, day) for step, start in zip(glue.steps, found.starts, strict=True)}
    monday, evening = 0, 19 * hour
    assert at["1/sort/1/1"] == (monday, evening)
    # The outer rows are one piece each; the second waits until the first is out of the jig: 19:10 + 10 + 30.
    assert sorted(at[f"1/row/{n}"] for n in (2, 3)) == [(monday, evening + 2), (monday, evening + 10)]
    # Out at 20:30, cured a day later; joined at once, out at 21:45.
    assert at["1/dress/1"] == (1, 20 * hour + 6)
    assert at["1/join/1/1"] == (1, 20 * hour + 9)
    # Cured on Wednesday at 21:45, too late for the borders; those are out on Thursday at 20:00 and cured on Friday.
    assert at["1/border/1"] == (3, evening)
    assert at["1/flatten/1"] == (4, 20 * hour)
    # Glue lines are sanded two days after the clamps came off: after five on Saturday, so on Monday, wet and dry by
    # 20:45; sanded off by 21:05, and then 20 minutes, a soak of 30 and 10 to wipe do not fit.
    assert at["1/sand/1/1"] == (7, evening)
    assert at["1/raise/1"] == (7, evening + 8)
    assert at["1/coat/1"] == (8, evening)
    assert at["1/wipe/1"] == (8, evening + 10)
    assert at["1/coat/2"] == (9, 20 * hour)
    # Wiped on Wednesday at 21:00, cured on Saturday at 21:00.
    assert found.finish == 12 * day + 21 * hour


def test_what_takes_longer_than_the_glue_allows_is_done_one_at_a_time_and_told():
    # A border's 12 min of gluing and a row's 4 min are more than 8 and less than 9.
    glue = work(board(8), adhesive=replace(WHITE, assembly=8), times=DEFAULT_TIMES | {"strip": Fraction(16)})
    assert [step.words for step in glue.steps if step.kind == "border"] == [
        "Glue on the top border",
        "Glue on the bottom border",
    ]
    assert any(words.startswith("Gluing on a border takes 12 min by your times") for words in glue.remarks)
    assert {len(step.rows) for step in glue.steps if step.kind == "dress"} <= {2, 3}


# --- what cannot be ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "field", "words"),
    [
        ({"shop": replace(SHOP, jigs=(RowJigs("Jig", 1, mm(300)),))}, "jigs", "the longest row jig takes 300 mm"),
        ({"shop": replace(SHOP, jigs=())}, "jigs", "there is no row jig"),
        ({"shop": replace(SHOP, clamps=(Clamps("C", 20, mm(200)),))}, "clamps", "open to 200 mm"),
        ({"shop": replace(SHOP, clamps=(Clamps("C", 1, mm(900)),))}, "clamps", "needs 3 clamps"),
        ({"shop": replace(SHOP, bench_places=0)}, "bench_places", "there is none"),
        ({"shop": replace(SHOP, people=0)}, "people", "Nobody"),
        ({"shop": replace(SHOP, widest_flattened=mm(30))}, "widest_flattened", "up to 30 mm"),
        ({"shop": replace(SHOP, clamp_every=mm(0))}, "clamp_every", "no distance"),
        ({"adhesive": replace(WHITE, assembly=3)}, "adhesive", "assembly time is 3 min"),
        ({"finish": replace(OIL, wipe_within=20)}, "wipe_within", "soaks 30 min"),
        ({"sessions": ()}, "sessions", "No session"),
        ({"sessions": ((0, 1),)}, "sessions", "the longest session has 5"),
        ({"times": {"row_join": Fraction(1)}}, "strip", "no minutes"),
    ],
)
def test_what_cannot_be_is_refused_in_words_that_name_the_record(given, field, words):
    with pytest.raises(TimetableError, match=words) as refused:
        work(board(16), **given)
    assert refused.value.field == field
    assert refused.value.mend


def test_a_record_of_a_form_to_come_or_with_work_that_has_no_steps_is_refused():
    record = to_record(reckoned(5))
    with pytest.raises(TimetableError, match="form 9"):
        glue_board_of(record | {"form": 9})
    with pytest.raises(TimetableError, match="panel_glue"):
        glue_board_of(record | {"operations": {"panel_glue": "2", "slice": "0"}})


def test_a_record_of_before_rows_could_be_deep_or_upright_is_read():
    record = json.loads(json.dumps(to_record(reckoned(8))))
    old = record | {"form": 1, "laid": [{"number": r["number"], "parts": r["parts"]} for r in record["laid"]]}
    del old["spec"]["along"], old["operations"]
    assert glue_board_of(old) == glue_board_of(record)
