"""The maker's minutes an operation, dealt out to the stages of the making.

Operations are what is logged and learned, and a board's attended minutes are theirs; how they fall on the stages is an
assumption (common practice, no source), and only when things are done depends on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from planner.gluing.terms import TimetableError

Minutes = tuple[tuple[str, Fraction], ...]
# What part of an operation's minutes each kind of step takes.
SHARES: Mapping[str, Mapping[str, Fraction]] = {
    "ready": {"setup_job": Fraction(1)},
    "rough": {"rip_strip": Fraction(3, 10)},
    "rip": {"rip_strip": Fraction(5, 10)},
    "gauge": {"rip_strip": Fraction(2, 10)},
    "cut": {"crosscut": Fraction(1), "stop_change": Fraction(1)},
    "sort": {"row_glue": Fraction(1, 4)},
    "row": {"row_glue": Fraction(3, 4), "joint": Fraction(1)},
    "dress": {"row_join": Fraction(1, 3)},
    "join": {"row_join": Fraction(2, 3)},
    "true": {"strip": Fraction(1, 4)},
    "border": {"strip": Fraction(3, 4)},
    "panel": {"panel_glue": Fraction(1), "panel_joint": Fraction(1)},
    "even": {"panel_dm2": Fraction(1)},
    "slice": {"slice": Fraction(1), "stop_change": Fraction(1)},
    "flatten": {"sand_dm2": Fraction(3, 10), "end_grain_dm2": Fraction(1)},
    "size": {"sand_dm2": Fraction(1, 10)},
    "details": {"detail_min": Fraction(1)},
    "sand": {"sand_dm2": Fraction(6, 10)},
    "coat": {"oil_dm2": Fraction(2, 3)},
    "wipe": {"oil_dm2": Fraction(1, 3)},
}
# What part of gluing a panel falls after the first glue is spread: caul and clamps are set out, and strips counted dry,
# before (common practice, no source).
PANEL_UNDER_GLUE = Fraction(1, 2)
OPERATIONS = frozenset(operation for shares in SHARES.values() for operation in shares)
# What only a board of panels has.
OF_PANELS = frozenset({"panel_glue", "panel_joint", "panel_dm2", "slice", "end_grain_dm2"})


def minutes_of(times: Mapping[str, Fraction], kind: str, counts: Mapping[str, Fraction | int]) -> Minutes:
    """The minutes a step of that kind takes for so many of an operation's counts, by operation; nought is left out.

    Raises TimetableError for an operation without a time, or with one below nought."""
    found = []
    for operation, count in counts.items():
        time = times.get(operation)
        if time is None or time < 0:
            raise TimetableError(
                f"“{operation}” has no minutes." if time is None else f"“{operation}” takes less than nought.",
                mend="Give every operation minutes of 0 or more.",
                field=operation,
            )
        minutes = Fraction(time) * SHARES[kind][operation] * count
        if minutes:
            found.append((operation, minutes))
    return tuple(found)


def summed(minutes: Minutes) -> Fraction:
    return sum((one for _, one in minutes), Fraction(0))


def together(several: Iterable[Minutes]) -> Minutes:
    """Minutes of several steps as one's."""
    found: dict[str, Fraction] = {}
    for operation, minutes in (one for each in several for one in each):
        found[operation] = found.get(operation, Fraction(0)) + minutes
    return tuple(found.items())


def scaled(minutes: Minutes, share: Fraction) -> Minutes:
    return tuple((operation, one * share) for operation, one in minutes)


def loading(times: Mapping[str, Fraction]) -> tuple[Fraction, Fraction]:
    """Minutes to load a row into its jig: once, and for each joint."""
    return summed(minutes_of(times, "row", {"row_glue": 1})), summed(minutes_of(times, "row", {"joint": 1}))


def loading_panel(times: Mapping[str, Fraction]) -> tuple[Fraction, Fraction]:
    """Minutes from the first glue of a panel to full pressure: once, and for each joint."""
    once = summed(minutes_of(times, "panel", {"panel_glue": 1}))
    return once * PANEL_UNDER_GLUE, summed(minutes_of(times, "panel", {"panel_joint": 1}))


def a_line(times: Mapping[str, Fraction]) -> Fraction:
    """Minutes of one glue line between rows."""
    return summed(minutes_of(times, "join", {"row_join": 1}))


def a_border(times: Mapping[str, Fraction]) -> Fraction:
    """Minutes to glue on one border."""
    return summed(minutes_of(times, "border", {"strip": 1}))
