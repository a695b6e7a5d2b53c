"""What the planner makes of the same values is the same: many tests of the app ask it for the same small board. In one
process it works out each question once; the planner's own tests (tests/planner) ask it anew each time."""

from __future__ import annotations

import pickle
from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from importlib import import_module
from typing import Any

# Where the app's doors have the planner's names, none of which reads anything but its arguments.
ASKED = (
    ("shopapp.plans.methods.planning", "compare"),
    ("shopapp.plans.planning", "reckon"),
    ("shopapp.designs.pictures.planning", "read_picture"),
)
MOST = 60


def remembered(ask: Callable[..., Any]) -> Callable[..., Any]:
    """``ask``, which answers from memory what it was asked before with equal arguments. Refusals are found anew."""
    answers: OrderedDict[bytes, Any] = OrderedDict()

    @wraps(ask)
    def answer(*arguments: Any, **named: Any) -> Any:
        key = pickle.dumps((arguments, named))
        if key not in answers:
            answers[key] = ask(*arguments, **named)
            if len(answers) > MOST:
                answers.popitem(last=False)
        return answers[key]

    return answer


def remember(patch: Any) -> None:
    for place, name in ASKED:
        module = import_module(place)
        patch.setattr(module, name, remembered(getattr(module, name)))
