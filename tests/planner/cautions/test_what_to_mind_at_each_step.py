"""Cautions stand at the step they concern, each with its source; none says that anything is safe."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from planner.build import USES
from planner.cautions import STEPS, WORDS, caution_of, cautions_for_step, step_of_wood_caution
from planner.errors import PlannerError
from planner.gluing.concerns import KINDS
from planner.woods import WOODS, cautions_for
from tests.support.each import each

EVERY = [*WORDS.values(), *(caution for wood in WOODS.values() for caution in cautions_for(wood, "serving"))]


def test_every_kind_a_step_of_a_session_can_name_has_words():
    assert set(KINDS) <= set(WORDS)


@each("caution", EVERY, ids=lambda caution: f"{caution.kind}: {caution.words[:30]}")
def test_every_caution_has_a_source_and_clears_nothing(caution):
    assert caution.source
    # A caution may say that a code approves no board, never that one is approved, harmless or safe.
    assert not re.search(r"\b(is|are|be) (food-?safe|safe|approved|harmless|non-?toxic)\b", caution.words, re.I)


@each("use", USES)
def test_every_step_of_every_use_is_told_and_every_caution_belongs_to_one(use):
    told = [caution.kind for step in STEPS for caution in cautions_for_step(step, use)]
    assert len(told) == len(set(told))
    assert {"machine_manual", "small_parts", "kickback", "dust", "glue_sheet", "oily_rags"} <= set(told)
    assert {step_of_wood_caution(caution.kind) for caution in EVERY} <= set(STEPS)


def test_rags_wet_with_oil_are_dried_flat_outdoors_or_kept_under_water_in_a_closed_tin():
    # NFPA, Safety with Oily Rags (2017): hung or spread outside, never in a pile; a covered metal container with water.
    rags = caution_of("oily_rags")
    for word in ("drying or hard-wax oil", "flat outdoors", "under water", "closed metal tin", "data sheet"):
        assert word in rags.words
    assert "NFPA" in rags.source


def test_food_is_a_matter_of_the_boards_use_and_only_hard_maple_is_named():
    # FDA Food Code 4-101.17 names hard maple "or an equivalently hard, close-grained wood" and lists no equivalents.
    assert "food_contact" not in {caution.kind for caution in cautions_for_step("use", "wall")}
    words = caution_of("food_contact").words
    assert "hard maple" in words
    assert not [name for name in ("walnut", "beech", "cherry", "birch", "sycamore") if name in words]
    assert "nut_oil" in {caution.kind for caution in cautions_for_step("use", "serving")}


def test_a_step_or_a_kind_there_is_none_of_is_refused():
    with pytest.raises(PlannerError):
        cautions_for_step("launching")
    with pytest.raises(PlannerError):
        caution_of("dragons")


def test_pages_that_tell_of_rags_say_the_same():
    page = (Path(__file__).parents[3] / "templates" / "components" / "oily_rags.html").read_text()
    assert caution_of("oily_rags").words in page
    assert caution_of("oily_rags").source in page
