"""The JSON form comes back as it went, explains its keys, and refuses what is no pattern with the place at fault."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.pattern import LARGEST_SIDE, Pattern, PatternError
from planner.patternform import FORM, VERSION, from_json, to_json
from tests.planner.mending.grids import grid, grids

WOODS = {"beech": ("American beech", "#c9a27a"), "walnut": ("Black “old” walnut\n", "#4a3428")}
SMALL = grid("b.w bbb")


def written(**changes) -> str:
    return json.dumps({**json.loads(to_json(SMALL, WOODS, "Small")), **changes})


@given(grids(), st.text(max_size=60))
def test_a_pattern_comes_back_as_it_went_with_its_title_and_the_names_of_its_woods(pattern, title):
    title = "".join(letter for letter in title if not 0xD800 <= ord(letter) < 0xE000)
    read = from_json(to_json(pattern, WOODS, title))
    assert read.pattern == pattern and read.title == title
    assert read.names == {wood: WOODS.get(wood, (wood, ""))[0] for wood in pattern.woods}


def test_every_key_is_explained_in_the_file_itself():
    data = json.loads(to_json(SMALL, WOODS, "Small"))
    assert set(data) == set(data["about"]) and data["form"] == FORM and data["version"] == VERSION
    assert data["pattern"] == ["1 beech, 1 -, 1 walnut", "3 beech"]
    assert data["woods"][0] == {"id": "beech", "name": "American beech", "colour": "#c9a27a"}


def test_a_key_of_somebody_elses_and_counts_left_out_do_no_harm():
    data = {"form": FORM, "version": 1, "pattern": ["2 beech"], "mine": {"any": [1, None]}}
    assert from_json(json.dumps(data)).pattern == grid("bb")
    assert from_json("\ufeff" + json.dumps(data)).pattern == grid("bb")


def test_a_newer_version_is_refused_in_words():
    with pytest.raises(PatternError) as refusal:
        from_json(written(version=2))
    assert refusal.value.what == "The file is of version 2 of its form, and this Kerfstead reads version 1."
    assert "newer" in refusal.value.mend


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line 1, place 1"),
        ('{"form": "Kerfstead pattern",\n "version": 1,\n "pattern": ["1 beech" "1 beech"]}', "line 3, place"),
        ("[1, 2]", "a list or a single value"),
        ("3", "a list or a single value"),
        ('{"form": "Something else", "version": 1}', "does not say that it is"),
        (written(version="1"), "“version” is no whole number"),
        (written(version=True), "“version” is no whole number"),
        (written(version=0), "“version” is no whole number"),
        (written(pattern="3 beech"), "“pattern” is no list"),
        (written(pattern=[["beech"]]), "“pattern” is no list"),
        (written(pattern=[]), "nothing in the pattern"),
        (written(pattern=["3 beech", ""]), "Row 2 of “pattern” is empty"),
        (written(pattern=["1 beech\n1 beech"]), "Row 1 of “pattern” runs over"),
        (written(pattern=["3 beech", "3 Beech"]), "Row 2 of “pattern” cannot be read at “3 Beech”"),
        (written(pattern=["3 beech", "2 beech"]), "Row 2 has 2 cells"),
        (written(pattern=["201 beech"]), "Row 1 of “pattern” holds more than 200"),
        (written(pattern=["1 beech"] * 201), "201 rows"),
        (written(rows=3), "“rows” says 3, and the pattern has 2"),
        (written(columns=True), "“columns” says True"),
        (written(woods={"beech": "Beech"}), "“woods” is no list"),
        (written(woods=[{"id": "beech"}]), "Wood 1 of “woods”"),
        ('{"form": "Kerfstead pattern", "form": "Kerfstead pattern"}', "“form” is written twice"),
        ('{"version": NaN}', "“NaN” is no number"),
        ('{"form": "Kerfstead pattern", "version": ' + "9" * 5000 + "}", "a very large number"),
        ("[" * 500_000, "nested too deep"),
        ('{"a":' * 200_000, "nested too deep"),
        ("x" * 1_000_001, "more than a megabyte"),
    ],
    ids=range(27),
)
def test_what_is_no_pattern_is_refused_with_the_place_at_fault(text, words):
    with pytest.raises(PatternError) as refusal:
        from_json(text)
    assert words in refusal.value.what and refusal.value.mend


@given(st.text(max_size=200) | st.from_regex(r'\{("form"|"version"|"pattern"): ?[\[\]{}0-9"a-z,: -]*\}'))
def test_whatever_is_handed_in_is_a_pattern_or_refused(text):
    try:
        from_json(text)
    except PatternError:
        return


def test_the_largest_pattern_of_single_tiles_stays_within_the_limit():
    names = [f"a-wood-with-a-name-{i}" for i in range(4)]
    rows = [[names[(r + c) % 4] for c in range(LARGEST_SIDE)] for r in range(LARGEST_SIDE)]
    text = to_json(Pattern.of(rows), {}, "Large")
    assert from_json(text).pattern.height == LARGEST_SIDE
