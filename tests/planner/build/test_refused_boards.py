"""A board that cannot be is refused before a saw is set, with the field and a mend."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.build import BoardSpec, BuildError, build
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import Shop

mm = Length.of_mm
PATTERN = Pattern.of([[None, "beech", None]])
SPEC = BoardSpec("wall", mm(20), mm(18), mm(30), mm(30), "runs", 1, "sycamore")


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("use", "knife", "never|not offered as a knife board"),
        ("use", "roof", "no use called"),
        ("method", "magic", "no build method"),
        ("quantity", 0, "No board"),
        ("thickness", ZERO, "no thickness"),
        ("side_border", mm(-1), "less than nought"),
        ("end_border", mm(-1), "less than nought"),
        ("pitch", mm(3), "the crosscut blade takes"),
        ("pitch", ZERO, "the crosscut blade takes"),
    ],
)
def test_it_is_said_which_field_and_what_would_mend_it(field, value, words):
    spec = replace(SPEC, **{field: value})
    with pytest.raises(BuildError, match=words) as refusal:
        build(PATTERN, spec, spec.method, Shop())
    assert refusal.value.field == field and refusal.value.mend


def test_a_pattern_of_background_only_is_refused():
    with pytest.raises(BuildError, match="all background"):
        build(Pattern.of([[None, None]]), SPEC, "runs", Shop())


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("pitch", mm(4), "leaves nothing of a tile"),
        ("pitch", mm(5), "leaves nothing of a tile"),
        ("side_border", mm("2.5"), "its glue takes"),
        ("end_border", mm("0.01"), "its glue takes"),
    ],
)
def test_a_size_that_the_glue_would_take_whole_is_refused(field, value, words):
    spec = replace(SPEC, **{field: value})
    with pytest.raises(BuildError, match=words) as refusal:
        build(PATTERN, spec, spec.method, Shop(glue_line=mm(5)))
    assert refusal.value.field == field and refusal.value.mend


def test_the_narrowest_sizes_that_are_not_refused_leave_wood_in_every_piece():
    spec = replace(SPEC, pitch=mm("5.01"), side_border=mm("2.51"), end_border=mm("2.51"))
    board = build(PATTERN, spec, "tiles", Shop(glue_line=mm(5), end_trim=ZERO, edge_trim=ZERO))
    for part in board.parts:
        assert part.stage("crosscut").length > ZERO and part.stage("dressed").width > ZERO
