"""All the set-ups of a cut plan, in the order of the work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from planner.cutting.plan import CutFile, faults_of
from planner.cutting.setups.bench import Bench
from planner.cutting.setups.crosscuts import STOP_ORDER, part_steps, square_steps
from planner.cutting.setups.milling import joint_steps, plane_steps, resaw_steps, rough_steps
from planner.cutting.setups.reading import read
from planner.cutting.setups.ripping import gauge_steps, rip_steps
from planner.cutting.setups.sharing import part_cuts
from planner.cutting.setups.terms import SetUp, SetUpError, SetUps
from planner.cutting.setups.timing import check_times, sum_of
from planner.figures import Figure
from planner.measures import ZERO, Length
from planner.shop import Shop

_ROUGH_ORDER = (
    "Boards are marked and crosscut one after another; from then on all woods go through each machine together."
)


def set_ups(
    file: CutFile,
    shop: Shop,
    times: Mapping[str, Fraction],
    *,
    spares: Sequence[int] = (),
    row: Length = ZERO,
) -> SetUps:
    """What to set and to cut for ``file.plan``, step by step.

    ``times`` are minutes by operation (``planner.hours``; those of a strip, a cut and a setting are used); ``spares``
    how many of each of ``file.job.parts`` are spare, in their order, nothing for none; ``row`` the length of a row of
    tiles, pitch by columns, for what the scale's rounding does over it.

    Kerfs, trims and grip are the plan's; limits, stand-off, hold-down and scale are the shop's as it is now, and what
    they keep from a machine comes with what to do instead. Raises SetUpError for a file without a plan, a plan that
    does not pass the checker, times that are missing, and spares that do not fit the parts.
    """
    check_times(times)
    wood = read(file)
    assert file.plan is not None
    job = file.job
    faults = faults_of(file.plan, job)
    if faults:
        raise SetUpError(f"This plan cannot be cut as it stands. {faults[0]}", mend="Plan anew.", field="plan")
    spare = tuple(spares) or (0,) * len(job.parts)
    if len(spare) != len(job.parts) or any(not 0 <= s <= p.count for s, p in zip(spare, job.parts, strict=True)):
        raise SetUpError("The spares do not fit the parts.", mend="Give a number for each part.", field="spares")
    cuts = part_cuts(wood, job, file.plan)
    bench = Bench(wood, shop, times, row)
    rips, why = rip_steps(bench)
    steps: list[SetUp] = [
        *rough_steps(bench),
        *joint_steps(bench),
        *resaw_steps(bench),
        *plane_steps(bench),
        *rips,
        *gauge_steps(bench, file.plan.on_edge),
        *square_steps(bench),
        *part_steps(cuts, job.parts, spare, bench),
    ]
    numbered = tuple(replace(step, number=n) for n, step in enumerate(steps, 1))
    order = [
        *_blades(bench),
        _ROUGH_ORDER,
        why,
        STOP_ORDER if len([s for s in numbered if s.kind == "part"]) > 1 else "",
        _turned(file),
    ]
    return SetUps(
        numbered,
        sum_of([step.minutes for step in numbered]),
        _travel(numbered, "rip", "the fence"),
        _travel(numbered, "part", "the stop"),
        tuple(filter(None, order)),
    )


def _blades(bench: Bench) -> list[str]:
    """A word for each blade that takes more now than the plan reckons with: its last parts would come out short."""
    shop, rules = bench.shop, bench.wood.rules
    blades = (
        ("crosscut", shop.crosscut_kerf, bench.length(rules.crosscut_kerf)),
        ("rip", shop.rip_kerf, bench.length(rules.rip_kerf)),
    )
    return [
        f"The {name} blade takes {shop.says(now)} now and the plan reckons with {shop.says(then)}: plan anew before "
        "anything is cut."
        for name, now, then in blades
        if now > then
    ]


def _travel(steps: Sequence[SetUp], kind: str, what: str) -> Figure:
    moved = sum((setting.travel for step in steps if step.kind == kind for setting in step.settings), ZERO)
    return Figure(moved, "mm", f"how far {what} moves in sum, from its first setting to its last", "the set-ups")


def _turned(file: CutFile) -> str:
    return (
        "Strips marked so are turned on edge once they are gauged: what was planed is then their width, and what was "
        "ripped their thickness."
        if file.plan is not None and file.plan.on_edge
        else ""
    )
