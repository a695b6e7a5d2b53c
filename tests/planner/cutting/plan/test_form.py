"""A job and its plan go out as JSON and come back the same; what is wrong in a file is named."""

import json
from dataclasses import MISSING, fields, replace

import pytest

from planner.cutting.plan import (
    BoardCut,
    CutFile,
    CutFormError,
    CutJob,
    CutPlan,
    Leaf,
    Offcut,
    Part,
    Prices,
    RoughCut,
    Rules,
    StockBoard,
    StripCut,
    WoodFloor,
    faults_of,
    from_json,
    plan_cuts,
    prove,
    to_json,
)
from planner.cutting.plan.terms import Counted
from tests.planner.cutting.plan.making import plausible


def test_a_job_and_its_plan_come_back_as_they_went():
    job = plausible(0)
    file = CutFile(job, plan_cuts(job, steps=10), "1/64 in", "1/10000 dollar")
    back = from_json(to_json(file))
    assert back == file
    assert faults_of(back.plan, back.job) == ()
    assert sum(prove(one.prices, back.job) for one in back.plan.floors) == back.plan.floor


def test_every_field_there_is_comes_back_as_it_went():
    """Of each kind of thing the file has one in which nothing is as it would be if it were left out."""
    counted, leaf = Counted("strips", 20, 10, 40), Leaf((0,), (1,), (5,), (1,), (2,), (-3,))
    proof = Prices("ash", ((20, 10, 43),), (("A",),), (counted,), (leaf,), ("dark",), "edge")
    strip = StripCut(20, ((43, 1),), (((20, 20), 1),))
    file = CutFile(
        CutJob(
            (Part("ash", 20, 10, 43, 2, "border", "dark", "row", (20, 20)),),
            (StockBoard("A", "ash", 34, 200, 24, 100, 10, "dark", 10, ((80, 82), (150, 160)), True),),
            Rules(3, 2, 10, 5, 1, 7, 120, 5, 30, 10, 100, 1, 2, 40, 6, 4),
            (("ash", "either"),),
        ),
        CutPlan(
            (BoardCut("A", (RoughCut(70, 10, (strip,), 10, True, (strip,)),)),),
            (Offcut("A", 0, "layer", 24, 30, 72),),
            140,
            72,
            (WoodFloor("ash", 60, proof, (replace(proof, way="face"),), ("bound",)),),
            ("ash",),
            (("ash", "row", "A"),),
        ),
        "1/64 in",
        "1/10000 dollar",
    )
    every = [
        file,
        file.job,
        file.plan,
        *file.job.parts,
        *file.job.stock,
        file.job.rules,
        *file.plan.floors,
        proof,
        strip,
    ]
    for thing in (*every, leaf, counted, file.plan.boards[0].rough[0], *file.plan.offcuts):
        for field in fields(thing):
            left_out = () if field.default is MISSING else field.default
            assert getattr(thing, field.name) != left_out, f"{field.name} is as if it were left out"
    assert from_json(to_json(file)) == file


def test_a_file_of_the_first_version_is_read():
    """It did not say where rough lengths begin: one behind the other from the end trim."""
    file = {
        "form": "Kerfstead cut plan",
        "version": 1,
        "rules": {"crosscut_kerf": 3, "rip_kerf": 2, "end_trim": 10, "grid": 5},
        "parts": [{"wood": "ash", "width": 20, "thickness": 10, "length": 40, "count": 2}],
        "stock": [{"name": "A", "wood": "ash", "width": 20, "length": 200, "yields": 10, "cost": 100}],
        "plan": {
            "cost": 100,
            "boards_cost": 100,
            "credit": 0,
            "boards": [
                {
                    "board": "A",
                    "rough": [
                        {"length": 40, "thickness": 10, "strips": [{"width": 20, "parts": [[40, 1]]}]},
                        {"length": 50, "thickness": 10, "strips": [{"width": 20, "parts": [[40, 1]]}]},
                        {"length": 60, "thickness": 0, "strips": []},
                    ],
                }
            ],
            "offcuts": [],
            "floors": [],
        },
    }
    back = from_json(json.dumps(file))
    assert [rough.at for rough in back.plan.boards[0].rough] == [10, 53, 106]
    assert faults_of(back.plan, back.job) == ()
    assert from_json(to_json(back)) == back


def test_a_job_without_a_plan_comes_back_without_one():
    file = CutFile(plausible(1))
    assert from_json(to_json(file)) == file


PART = {"wood": "ash", "width": 1, "thickness": 1, "length": 1, "count": 1}
BOARD = {"name": "A", "wood": "ash", "width": 1, "length": 1, "yields": 1}
NOTHING = {"boards": [], "offcuts": [], "floors": [], "boards_cost": 0, "credit": 0}


def told(**change):
    file = json.loads(to_json(CutFile(plausible(2))))
    file.update(change)
    return file


def test_keys_that_are_not_known_are_passed_over():
    assert from_json(json.dumps(told(more="words"))).job == plausible(2)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"form": "another"}, "form"),
        ({"version": 3}, "version"),
        ({"version": "1"}, "version"),
        ({"parts": {}}, "parts"),
        ({"parts": [{"wood": "ash", "width": 1.5, "thickness": 1, "length": 1, "count": 1}]}, "parts[0].width"),
        ({"parts": [{"width": 1, "thickness": 1, "length": 1, "count": 1}]}, "parts[0].wood"),
        ({"stock": ["A"]}, "stock[0]"),
        ({"rules": {"rip_kerf": 3}}, "rules.crosscut_kerf"),
        ({"rules": {"rip_kerf": 3, "crosscut_kerf": 3, "grid": 0}}, "rules.grid"),
        ({"plan": []}, "plan"),
        ({"plan": {"boards": []}}, "plan.offcuts"),
        ({"ways": [["ash", "upright"]]}, "ways[0]"),
        ({"ways": [["ash"]]}, "ways[0]"),
        ({"parts": [{**PART, "pieces": [40]}]}, "parts[0].pieces"),
        ({"parts": [{**PART, "shade": 3}]}, "parts[0].shade"),
        ({"stock": [{**BOARD, "bad": [[20, 10]]}]}, "stock[0].bad[0]"),
        ({"stock": [{**BOARD, "bad": [20]}]}, "stock[0].bad[0]"),
        ({"stock": [{**BOARD, "offcut": 1}]}, "stock[0].offcut"),
        ({"plan": {**NOTHING, "on_edge": "ash"}}, "plan.on_edge"),
        ({"plan": {**NOTHING, "bound_to": [["ash", "row"]]}}, "plan.bound_to[0]"),
    ],
)
def test_what_is_wrong_is_named_by_its_key(change, field):
    with pytest.raises(CutFormError) as error:
        from_json(json.dumps(told(**change)))
    assert error.value.field == field
    assert error.value.mend


@pytest.mark.parametrize("text", ["", "[", "[]", "null", '"form"', "[" * 100_000])
def test_what_is_no_file_at_all_is_refused_in_words(text):
    with pytest.raises(CutFormError):
        from_json(text)


def test_two_boards_of_one_name_are_refused():
    file = told()
    file["stock"].append(file["stock"][0])
    with pytest.raises(CutFormError, match="one name"):
        from_json(json.dumps(file))
