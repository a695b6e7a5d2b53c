"""How long a set-up takes, by the workshop's standard times (``planner.hours``): minutes a strip, a cut, a setting.

The time of a strip is for milling, ripping and gauging it, so it is shared out among those set-ups. The shares are
common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from planner.cutting.setups.terms import SetUpError
from planner.figures import Figure, Term

# Of the minutes of a strip; resawing a rough length takes as long as ripping a strip off it.
STRIP_SHARE = {
    "joint": Fraction(1, 6),
    "plane": Fraction(1, 6),
    "rip": Fraction(1, 2),
    "gauge": Fraction(1, 6),
    "resaw": Fraction(1, 2),
}
_SET = "the workshop's settings"


def check_times(times: Mapping[str, Fraction]) -> None:
    """Raises SetUpError for a time that is missing or below nought."""
    for key in ("rip_strip", "crosscut", "stop_change"):
        if key not in times or times[key] < 0:
            raise SetUpError(
                f"There is no time of 0 minutes or more for “{key}”.", mend="Write it in the workshop.", field=key
            )


def minutes_of(kind: str, settings: int, count: int, times: Mapping[str, Fraction], *, by_hand: bool = False) -> Figure:
    """Minutes of one set-up: ``settings`` to set, and ``count`` cuts (of kinds "rough", "square" and "part") or strips
    (of the others). There is no standard time for another way than the machine's; ``by_hand`` says so in the rule.

    >>> minutes_of("part", 1, 40, {"stop_change": Fraction(2), "crosscut": Fraction(1, 2)}).value
    Fraction(22, 1)
    """
    share = STRIP_SHARE.get(kind)
    each = times["crosscut"] if share is None else times["rip_strip"] * share
    what = "cut" if share is None else "strip"
    words = "a crosscut" if share is None else f"{share} of a strip's time for milling, ripping and gauging"
    return Figure(
        settings * times["stop_change"] + count * each,
        "min",
        f"settings × minutes + {what}s × minutes"
        + ("; as long as at the machine, though another way mostly takes longer" if by_hand else ""),
        "the workshop's standard times; how a strip's time is shared out is common practice, no source",
        (
            Term("Settings", Figure(settings, "settings", "of this set-up")),
            Term("Minutes a setting", Figure(times["stop_change"], "min", "setting a stop or fence", _SET)),
            Term(f"{what.capitalize()}s", Figure(count, f"{what}s", "of this set-up")),
            Term(f"Minutes a {what}", Figure(each, "min", words, _SET)),
        ),
    )


def sum_of(parts: list[Figure]) -> Figure:
    """Minutes in all."""
    total = sum((part.value for part in parts if isinstance(part.value, Fraction)), Fraction(0))
    return Figure(total, "min", "sum over the set-ups", "the workshop's standard times")
