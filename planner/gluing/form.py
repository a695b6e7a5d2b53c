"""Work and its timetable as JSON, so that whoever did not write the planner can read and check them.

    {
      "form": "Kerfstead timetable", "version": 1,
      "about": {"slot_minutes": "...", ...},                       what the keys mean, in words
      "slot_minutes": 5,
      "capacity": {"hands": 1, "jig": 2, ...},
      "sessions": [[from, to], ...],
      "tasks": [{"name": ..., "board": ..., "attended": ..., "hold": ..., "uses": {"jig": 1}, "rest": ...}],
      "links": [[first, then, lag], ...],
      "timetable": {"starts": [...], "finish": ...}
    }

Every number is a whole one; times are slots from some midnight. ``timetable`` may be left out. Keys that are not known
are passed over; a larger version is refused in words.
"""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any

from planner.errors import PlannerError
from planner.gluing.terms import HANDS, Link, Task, Timetable, Work

FORM = "Kerfstead timetable"
VERSION = 1
_MOST = 10**9
_ABOUT = {
    "slot_minutes": "How many minutes a slot has; all other times are slots from some midnight.",
    "capacity": "How many there are of hands and of everything tasks use.",
    "sessions": "When somebody is in the shop, from and to, in order and apart.",
    "tasks": "name: of a board's work the key of its step, equal when the work is planned anew; attended: hands for so "
    "long, within one session; hold: left alone after it; uses are kept for both; "
    "rest: until it counts as done.",
    "links": "[first, then, lag]: task number then starts lag slots after task number first, or later; below nought it "
    "is a most the other way round.",
    "timetable": "When each task starts, in their order, and when the last rest is over.",
}


class TimetableFormError(PlannerError):
    """A text that is not a timetable as this house writes it."""


def to_json(work: Work, timetable: Timetable | None = None) -> str:
    """The work, and its timetable if there is one; ``from_json`` gives both back unchanged."""
    told: dict[str, Any] = {
        "form": FORM,
        "version": VERSION,
        "about": _ABOUT,
        "slot_minutes": work.slot_minutes,
        "capacity": dict(work.capacity),
        "sessions": [list(one) for one in work.sessions],
        "tasks": [
            {
                "name": task.name,
                "board": task.board,
                "attended": task.attended,
                "hold": task.hold,
                "uses": dict(task.uses),
                "rest": task.rest,
            }
            for task in work.tasks
        ],
        "links": [[link.first, link.then, link.lag] for link in work.links],
    }
    if timetable is not None:
        told["timetable"] = {"starts": list(timetable.starts), "finish": timetable.finish}
    return json.dumps(told, ensure_ascii=False, indent=1)


def from_json(text: str) -> tuple[Work, Timetable | None]:
    """Read both back. Raises TimetableFormError naming the key at fault, which is its ``field``."""
    try:
        told = json.loads(text)
    except (ValueError, RecursionError):
        raise TimetableFormError("This is not JSON.", mend="Bring the file as it was written.", field="file") from None
    if not isinstance(told, dict) or told.get("form") != FORM:
        raise TimetableFormError(f'This is not a "{FORM}".', mend="Bring a file this house wrote.", field="form")
    version = _whole(told.get("version"), "version", least=1)
    if version > VERSION:
        raise TimetableFormError(
            f"The file is of version {version}; this house reads up to {VERSION}.",
            mend="Bring the house up to date, or write the file in the older form.",
            field="version",
        )
    tasks = tuple(_task(one, f"tasks[{i}]") for i, one in enumerate(_list(told.get("tasks"), "tasks")))
    links = tuple(_link(one, f"links[{i}]", len(tasks)) for i, one in enumerate(_list(told.get("links"), "links")))
    sessions = tuple(_session(one, f"sessions[{i}]") for i, one in enumerate(_list(told.get("sessions"), "sessions")))
    if any(later[0] < sooner[1] for sooner, later in pairwise(sessions)):
        raise _wrong("sessions", "stretches in order that do not lie on each other")
    capacity = _counts(told.get("capacity"), "capacity")
    used = {HANDS, *(what for task in tasks for what, _ in task.uses)}
    if missing := sorted(used - capacity.keys()):
        raise _wrong("capacity", f"how many there are of {', '.join(missing)}")
    work = Work(tasks, links, capacity, sessions, _whole(told.get("slot_minutes"), "slot_minutes", least=1))
    return work, _timetable(told.get("timetable"), len(tasks))


def _wrong(path: str, should: str) -> TimetableFormError:
    return TimetableFormError(f"{path} should hold {should}.", mend="Mend the file and bring it again.", field=path)


def _whole(value: Any, path: str, *, least: int = 0) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= _MOST:
        raise _wrong(path, f"a whole number from {least}")
    return value


def _list(value: Any, path: str, length: int | None = None) -> list[Any]:
    if not isinstance(value, list) or (length is not None and len(value) != length):
        raise _wrong(path, "a list" if length is None else f"a list of {length}")
    return value


def _counts(value: Any, path: str) -> dict[str, int]:
    if not isinstance(value, dict):
        raise _wrong(path, "an object of names and whole numbers")
    return {name: _whole(many, f"{path}.{name}") for name, many in value.items()}


def _task(value: Any, path: str) -> Task:
    if not isinstance(value, dict) or not isinstance(value.get("name"), str):
        raise _wrong(path, "an object with a name")
    board, attended, hold, rest = (
        _whole(value.get(key, 0), f"{path}.{key}") for key in ("board", "attended", "hold", "rest")
    )
    uses = tuple(_counts(value.get("uses", {}), f"{path}.uses").items())
    return Task(value["name"], board, attended, hold, uses, rest)


def _link(value: Any, path: str, tasks: int) -> Link:
    first, then, lag = _list(value, path, 3)
    for number in (first, then):
        if _whole(number, path) >= tasks:
            raise _wrong(path, f"numbers of tasks, below {tasks}")
    return Link(first, then, _whole(lag, path, least=-_MOST))


def _session(value: Any, path: str) -> tuple[int, int]:
    opens, closes = _list(value, path, 2)
    if _whole(closes, path) <= _whole(opens, path):
        raise _wrong(path, "a beginning and a later end")
    return opens, closes


def _timetable(value: Any, tasks: int) -> Timetable | None:
    if value is None:
        return None
    if not isinstance(value, dict):
        raise _wrong("timetable", "an object")
    starts = tuple(_whole(one, "timetable.starts") for one in _list(value.get("starts"), "timetable.starts", tasks))
    return Timetable(starts, _whole(value.get("finish"), "timetable.finish"))
