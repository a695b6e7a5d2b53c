"""A job and its plan go out as JSON and come back the same; what is wrong in a file is named."""

import json

import pytest

from planner.cutting.plan import CutFile, CutFormError, faults_of, from_json, plan_cuts, prove, to_json
from tests.planner.cutting.plan.making import plausible


def test_a_job_and_its_plan_come_back_as_they_went():
    job = plausible(0)
    file = CutFile(job, plan_cuts(job, steps=10), "1/64 in", "1/10000 dollar")
    back = from_json(to_json(file))
    assert back == file
    assert faults_of(back.plan, back.job) == ()
    assert sum(prove(one.prices, back.job) for one in back.plan.floors) == back.plan.floor


def test_a_job_without_a_plan_comes_back_without_one():
    file = CutFile(plausible(1))
    assert from_json(to_json(file)) == file


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
