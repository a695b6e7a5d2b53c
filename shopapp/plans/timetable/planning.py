"""The timetables' one door to the planner."""

from __future__ import annotations

import json

from planner.errors import PlannerError
from planner.gluing import faults_of, from_json


def faults_in_text(text: str) -> list[str]:
    """What is wrong with a kept timetable's form, one sentence a fault."""
    try:
        work, timetable = from_json(json.dumps(json.loads(text)["work"]))
    except (ValueError, KeyError, TypeError):
        return ["Its form cannot be read."]
    except PlannerError as error:
        return [str(error)]
    return ["It has no times."] if timetable is None else list(faults_of(timetable, work))
