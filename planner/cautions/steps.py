"""Which cautions belong to which step, in the order one comes to them."""

from __future__ import annotations

from collections.abc import Mapping

from planner.cautions.words import WORDS
from planner.errors import PlannerError
from planner.woods import Caution
from planner.woods.cautions import FOOD_MODEL_CODE

# What each step is called, in the order of the work.
STEPS: Mapping[str, str] = {
    "machines": "At the machines",
    "tiles": "Cutting tiles",
    "gluing": "Gluing",
    "sanding": "Sanding",
    "finishing": "Finishing",
    "use": "In use",
    "leaving": "Before it leaves",
}
_OF_STEP = {
    "machines": ("machine_manual", "kickback", "short_stock", "dust"),
    "tiles": ("small_parts",),
    "gluing": ("glue_sheet",),
    "finishing": ("finish_sheet", "oily_rags"),
}
_OF_USE = {"wall": ("hanging",), "serving": ("food_contact", "nut_oil"), "trivet": ("heat", "food_contact", "nut_oil")}
# Where what is known of one wood belongs.
_OF_WOOD = {
    "dust": "machines",
    "bonding": "gluing",
    "colour": "sanding",
    "food": "use",
    "allergen": "use",
    "trade": "leaving",
}


def cautions_for_step(step: str, use: str = "wall") -> tuple[Caution, ...]:
    """What to mind at one of STEPS whatever the board is made of; ``use`` is what it is for.

    Raises PlannerError for a step there is none of.

    >>> [caution.kind for caution in cautions_for_step("finishing", "serving")]
    ['finish_sheet', 'oily_rags']
    >>> [caution.kind for caution in cautions_for_step("use", "trivet")]
    ['heat', 'food_contact', 'nut_oil']
    """
    if step not in STEPS:
        raise PlannerError(f"There is no step called “{step}”.", mend=f"Choose one of {', '.join(STEPS)}.")
    kinds = _OF_USE.get(use, ()) if step == "use" else _OF_STEP.get(step, ())
    return tuple(WORDS[kind] for kind in kinds)


def is_said_of_all(kind: str, source: str) -> bool:
    """Whether a caution about one wood says what already stands at its step for every board.

    >>> is_said_of_all("food", "popular advice, no regulation found")
    False
    """
    return kind == "food" and source == FOOD_MODEL_CODE


def step_of_wood_caution(kind: str) -> str:
    """The step at which a caution about one wood is met; "use" for a kind that is not known.

    >>> step_of_wood_caution("bonding")
    'gluing'
    """
    return _OF_WOOD.get(kind, "use")
