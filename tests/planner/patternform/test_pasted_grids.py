"""Grids pasted from a spreadsheet, a text editor or our own rows of runs become marks, and marks become woods."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.pattern import PatternError
from planner.patternform import MOST_MARKS, read_pasted
from tests.planner.mending.grids import cells_of, grids


@given(grids())
def test_our_own_rows_of_runs_come_back_as_they_went(pattern):
    pasted = read_pasted(pattern.to_text())
    assert pasted.kind == "runs"
    assert pasted.pattern({mark: None if mark == "-" else mark for mark in pasted.marks}) == pattern


SIGNS = {"tabs": "\t", "commas": ",", "semicolons": ";", "blanks": "  "}


@given(grids(), st.sampled_from(sorted(SIGNS)), st.sampled_from(["\n", "\r\n"]), st.booleans())
def test_one_mark_a_cell_is_read_whatever_divides_the_cells(pattern, kind, end, told):
    marks = {"beech": "Be", "walnut": "wa", "sapele": "7", None: "."}
    text = end.join(SIGNS[kind].join(marks[cell] for cell in row) for row in cells_of(pattern))
    # One column has nothing that divides it, so somebody has to say how it is meant.
    pasted = read_pasted(text + end, kind if told or pattern.width == 1 else "")
    assert pasted.kind == kind
    assert pasted.pattern({mark: wood for wood, mark in marks.items()}) == pattern


@given(grids())
def test_one_letter_a_cell_is_read_and_so_are_blanks_that_an_editor_cut_off(pattern):
    marks = {"beech": "b", "walnut": "w", "sapele": "s", None: " "}
    lines = ["".join(marks[cell] for cell in row).rstrip() for row in cells_of(pattern)]
    if not lines[0] or not lines[-1]:
        return
    back = cells_of(read_pasted("\n".join(lines), "letters").pattern({mark: wood for wood, mark in marks.items()}))
    assert back == [row[: len(back[0])] for row in cells_of(pattern)]


@pytest.mark.parametrize(
    ("text", "kind", "marks"),
    [
        ("1\t0\t1\n\t1\t", "tabs", {"1": 3, "0": 1, "": 2}),
        ('"Be","Wa"\n"Wa","Be"', "commas", {"Be": 2, "Wa": 2}),
        ("1;2\n2;1", "semicolons", {"1": 2, "2": 2}),
        ("1 2\n2 1", "blanks", {"1": 2, "2": 2}),
        ("1 12 3\n3 1 12", "blanks", {"1": 2, "12": 2, "3": 2}),
        ("..##\n#..#", "letters", {".": 4, "#": 4}),
        ("\n\n  #\n # #\n\n", "letters", {" ": 5, "#": 3}),
        ("3 beech\n1 -, 2 beech", "runs", {"beech": 5, "-": 1}),
        ("3 Beech\n1 -, 2 Beech", "runs", {"Beech": 5, "-": 1}),
    ],
)
def test_how_a_text_is_read_follows_from_what_is_in_it(text, kind, marks):
    pasted = read_pasted(text)
    assert pasted.kind == kind and pasted.marks == marks


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "nothing in the text"),
        (" \n\n ", "nothing in the text"),
        ("ab\nabc", "Line 2 has 3 cells where line 1 has 2"),
        ("a,b\na,b,c", "Line 2 has 3 cells"),
        ("3 beech\n2 beech", "Line 2 has 2 cells"),
        ("\n".join(["3 beech"] * 10 + ["x beech"]), "Line 11 cannot be read at “x beech”"),
        ("a\n" * 201, "201 rows"),
        ("a" * 201, "Line 1 holds more than 200"),
        ("a," * 201, "Line 1 holds more than 200"),
        ("150 beech, 60 -", "Line 1 holds more than 200"),
        (",".join(f"m{i}" for i in range(MOST_MARKS + 1)), f"{MOST_MARKS + 1} different marks"),
        (f"{'x' * 70},a", "too long for the mark of a cell"),
        ("x" * 1_000_001, "longer than a megabyte"),
    ],
    ids=range(13),
)
def test_what_is_no_grid_is_refused_naming_the_line(text, words):
    with pytest.raises(PatternError) as refusal:
        read_pasted(text)
    assert words in refusal.value.what and refusal.value.mend


@given(st.text(max_size=300))
def test_whatever_is_pasted_is_a_grid_or_refused(text):
    try:
        pasted = read_pasted(text)
    except PatternError:
        return
    assert len({len(row) for row in pasted.rows}) == 1
