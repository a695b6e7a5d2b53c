"""The grid that was read lies over its picture and is corrected step by step."""

from __future__ import annotations

import json

import pytest

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design
from shopapp.designs.pictures.actions import bring_picture
from shopapp.people.models import Member
from tests.support.grids import BOAT, cells, live, page_of
from tests.support.shop import picture, upload


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def design(owner):
    bring_picture(who=owner, name="Boat", upload=upload(picture(BOAT)))
    run_waiting_tasks()
    return Design.objects.get()


def test_the_page_shows_the_lines_the_squares_and_what_was_seen(owner_client, design):
    words = page_of(owner_client, design).content.decode()
    assert "8 rows of 7, 4 px a square" in words and "Sure of it" in words
    assert "enlarged without loss" in words and "transparent cells set aside as background" in words
    # Seven rows and six columns of lines between the squares, in the picture's own pixels; the frame around them.
    lines = json.loads(words.split('id="grid-now" type="application/json">')[1].split("</script>")[0])
    assert lines["lines"].count("M") == 7 + 6 and "M4 0L4 32" in lines["lines"]
    assert lines["frame"] == "M0 0L28 0L28 32L0 32Z"


def test_background_squares_are_veiled_row_by_row(owner_client, design):
    now = live(owner_client, design)
    assert now["filled"] == ["".join("0" if c == "." else "1" for c in row) for row in BOAT.split()]
    # Two runs of background in rows 2 to 5 and row 7, one in the first and the last, none in row 6.
    assert now["veil"].count("M") == 1 + 2 + 2 + 2 + 2 + 0 + 2 + 1
    assert now["veil"].startswith("M0 0L28 0L28 4L0 4Z")


@pytest.mark.parametrize(
    ("step", "size", "corner"),
    [
        ("dt", "7 rows of 7", [0, 4]),
        ("at", "9 rows of 7", [0, -4]),
        ("db", "7 rows of 7", [0, 0]),
        ("dl", "8 rows of 6", [4, 0]),
        ("al", "8 rows of 8", [-4, 0]),
        ("dr", "8 rows of 6", [0, 0]),
    ],
)
def test_a_row_or_column_is_added_or_dropped_on_each_side(owner_client, design, step, size, corner):
    now = live(owner_client, design, "", step)
    assert now["size"].startswith(size) and now["corners"][0] == corner
    kept = cells(owner_client, design, step)
    assert kept.shape[:2] == (now["rows"], now["columns"])


def test_a_dropped_row_leaves_the_others_as_they_were(owner_client, design):
    whole, less = cells(owner_client, design), cells(owner_client, design, "dt_dl")
    filled = whole[1:, 1:, 3] > 0
    assert (less[..., :3][filled] == whole[1:, 1:, :3][filled]).all()


@pytest.mark.parametrize(
    ("asked", "by", "moved", "words"),
    [
        ("right", "px", [1, 0], "Moved 1 px to the right."),
        ("up", "quarter", [0, -0.25], "Moved 0.25 px up."),
        ("down", "tenth", [0, 0.5], "Moved 0.5 px down."),
        ("left:quarter", "px", [-0.25, 0], "Moved 0.25 px to the left."),
    ],
)
def test_the_lines_are_nudged_by_a_pixel_a_quarter_or_a_tenth_of_a_square(
    owner_client, design, asked, by, moved, words
):
    now = live(owner_client, design, "", asked, by=by)
    assert now["corners"][0] == moved and now["changes"] == words


def test_an_edge_moved_by_itself_makes_the_squares_wider_or_narrower(owner_client, design):
    now = live(owner_client, design, "", "right:tenth:right", "up:px:bottom")
    # Seven columns over 28.5 pixels, eight rows over 31.
    assert now["corners"] == [[0, 0], [28.5, 0], [28.5, 31], [0, 31]]
    assert now["changes"] == "Right edge moved 0.5 px to the right; bottom edge moved 1 px up."
    assert now["size"] == "8 rows of 7, 3.973 px a square" and now["steps"] == "s2.0_s0.-4"
    without_scripts = live(owner_client, design, "", "left", by="quarter", part="right")
    assert without_scripts["corners"][1] == [27.75, 0]
    across = live(owner_client, design, "", "up", part="right")
    assert "The right edge moves to the left and to the right" in across["trouble"] and across["steps"] == ""


def test_an_edge_moved_past_the_other_is_refused(owner_client, design):
    assert "crossed" in live(owner_client, design, "", "s-120.0")["trouble"]


def test_a_tap_sets_joined_squares_of_a_colour_aside_and_the_next_brings_them_back(owner_client, design):
    now = live(owner_client, design, "", "x5.2")
    assert now["filled"][5] == "1000001" and now["changes"] == "Background changed at row 6, column 3."
    assert live(owner_client, design, "x5.2_x5.4")["filled"][5] == "1111111"


def test_a_tapped_square_keeps_its_place_when_a_row_is_added_above_it(owner_client, design):
    now = live(owner_client, design, "x5.2_at")
    assert now["filled"][6] == "1000001"
    assert "background changed at row 7, column 3" in now["changes"]


def test_a_square_named_by_row_and_column_is_changed_without_any_script(owner_client, design):
    words = page_of(owner_client, design, base=0, steps="at", step="tap", row=7, column=3).content.decode()
    assert "background changed at row 7, column 3" in words and 'value="at_x6.2"' in words
    words = page_of(owner_client, design, base=0, steps="at", step="tap", row="two", column=3).content.decode()
    assert "“two” is not a whole number" in words and 'value="at"' in words


def test_the_last_correction_is_taken_back_even_when_it_was_to_begin_again(owner_client, design):
    assert live(owner_client, design, "at_dl", "undo")["steps"] == "at"
    begun = live(owner_client, design, "at_dl", "z")
    assert begun["untouched"] and begun["size"].startswith("8 rows of 7")
    assert live(owner_client, design, begun["steps"], "undo")["steps"] == "at_dl"
    assert "no correction to take back" in live(owner_client, design, "", "undo")["trouble"]


def test_back_and_forth_is_the_grid_as_it_was(owner_client, design):
    now = live(owner_client, design, "at_n4.1_dt_n-4.-1")
    assert now["untouched"] and now["changes"] == ""
    assert (cells(owner_client, design, "at_n4.1_dt_n-4.-1") == cells(owner_client, design)).all()


def test_presses_made_while_an_answer_was_on_its_way_are_taken_together(owner_client, design):
    now = live(owner_client, design, "at", "right:px", "right:px", "undo", "down:quarter")
    assert now["steps"] == "at_n4.0_n0.1"


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ("nonsense", "cannot be read"),
        ("o9", "cannot be read"),
        ("x50.50", "8 rows of 7"),
        ("_".join(["at"] * 193), "largest side is 200"),
        ("_".join(["n4.0"] * 301), "300 corrections already"),
        ("x1.1_" * 900 + "x1.1", "cannot be read"),
        ("n9999999.0", "cannot be read"),
    ],
)
def test_corrections_that_cannot_be_followed_are_told_and_the_grid_stands(owner_client, design, steps, words):
    now = live(owner_client, design, steps)
    assert words in now["trouble"] and now["steps"] == "" and now["rows"] == 8


def test_a_step_too_many_leaves_the_steps_before_it(owner_client, design):
    now = live(owner_client, design, "_".join(["dt"] * 7), "dt")
    assert "No row or no column would be left" in now["trouble"] and now["steps"] == "_".join(["dt"] * 7)
