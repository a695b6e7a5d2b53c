"""What the checker of timetables finds, one broken thing at a time; and the form others read."""

import json
from dataclasses import replace

import pytest

from planner.gluing import (
    Link,
    Task,
    Timetable,
    TimetableFormError,
    Work,
    faults_of,
    find_timetable,
    from_json,
    to_json,
)
from tests.support.glue_works import boards

WORK = Work(
    (
        Task("row 1", 0, 2, 6, (("jig", 1),)),
        Task("row 2", 0, 2, 6, (("jig", 1),)),
        Task("oil", 0, 3, 0),
        Task("wipe", 0, 1, 0, (), 10),
    ),
    (Link(0, 2, 8), Link(1, 2, 8), Link(2, 3, 3), Link(3, 2, -9)),
    {"hands": 1, "jig": 1},
    ((10, 40), (60, 90)),
)
SOUND = Timetable((10, 18, 30, 36), 47)


def moved(task, to, **changes):
    starts = list(SOUND.starts)
    starts[task] = to
    return replace(SOUND, starts=tuple(starts), **changes)


def test_a_sound_timetable_has_no_fault():
    assert faults_of(SOUND, WORK) == ()


@pytest.mark.parametrize(
    ("timetable", "words"),
    [
        (moved(0, 9), "not within one session"),
        (moved(3, 40, finish=51), "not within one session"),
        (moved(1, 17), "more of jig"),
        (moved(1, 11), "more of hands"),
        (moved(2, 24), "oil starts too soon after row 2"),
        (moved(3, 31, finish=42), "wipe starts too soon after oil"),
        (moved(2, 26), "oil starts too soon after wipe"),
        (replace(SOUND, finish=46), "The finish is 47, not 46"),
        (Timetable((10, 18, 30), 47), "not as many starts"),
        (moved(0, -1), "before the beginning"),
    ],
)
def test_one_broken_thing_is_found(timetable, words):
    assert any(words in fault for fault in faults_of(timetable, WORK)), faults_of(timetable, WORK)


def test_a_timetable_and_its_work_come_back_as_they_went():
    work = boards(8)
    timetable = find_timetable(work, steps=10)
    assert from_json(to_json(work, timetable)) == (work, timetable)
    assert from_json(to_json(work)) == (work, None)


def told(**changes):
    return json.dumps({**json.loads(to_json(WORK, SOUND)), **changes})


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("not json", "file"),
        ("[]", "form"),
        (told(form="another"), "form"),
        (told(version=2), "version"),
        (told(slot_minutes=0), "slot_minutes"),
        (told(capacity={"hands": 1}), "capacity"),
        (told(sessions=[[5, 5]]), "sessions[0]"),
        (told(sessions=[[10, 20], [15, 30]]), "sessions"),
        (told(links=[[0, 9, 1]]), "links[0]"),
        (told(links=[[0, 1]]), "links[0]"),
        (told(tasks=[{"board": 0}]), "tasks[0]"),
        (told(tasks=[{"name": "row", "attended": -1}]), "tasks[0].attended"),
        (told(timetable={"starts": [1], "finish": 3}), "timetable.starts"),
        (told(timetable=3), "timetable"),
    ],
)
def test_a_form_at_fault_is_refused_with_the_key_named(text, field):
    with pytest.raises(TimetableFormError) as refused:
        from_json(text)
    assert refused.value.field == field
