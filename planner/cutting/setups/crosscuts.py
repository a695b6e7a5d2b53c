"""Crosscutting parts off gauged strips: the fronts squared, then every length at one stop."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from planner.cutting.plan import Part
from planner.cutting.setups.bench import Bench, named
from planner.cutting.setups.limits import crosscut_barred
from planner.cutting.setups.reading import CutStrip
from planner.cutting.setups.scale import nearest
from planner.cutting.setups.sharing import PartCut
from planner.cutting.setups.stopnotes import stop_notes
from planner.cutting.setups.terms import Cut, Setting, SetUp
from planner.measures import Length

STOP_ORDER = (
    "The stop goes one way along its scale, longest parts first: no order moves it less, and a strip spoiled in a long "
    "part still gives short ones. As planned, what is left of a strip after its last part is no shorter than the grip."
)


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of a set-up and what it is of: which part of the job, and how often a part has this length."""

    part: int
    times: int
    cut: Cut


def square_steps(bench: Bench) -> list[SetUp]:
    """The snipe off the front of every strip, at a pencil mark; no step where the plan has none."""
    rules = bench.wood.rules
    strips = bench.wood.cut_strips
    if not rules.snipe or not strips:
        return []
    exact = bench.length(rules.snipe)
    cuts = [bench.of_strip(strip, "front squared", strip.width) for strip in strips]
    passes, bundle = _passes([(strip, 1) for strip in strips], bench)
    notes = (
        f"A pencil mark {bench.shop.says(exact)} from the better end of every strip. The blade runs on the waste side "
        "of it, and no stop is used: the waste falls free.",
    )
    held = min(strip.length for strip in strips) - rules.snipe - rules.crosscut_kerf
    setting = Setting("mark", exact, exact)
    return [
        bench.step(
            "square",
            cuts,
            passes,
            settings=(setting,),
            passes=passes,
            notes=notes,
            bundle=bundle,
            held=bench.length(held),
        )
    ]


def part_steps(cuts: Sequence[PartCut], parts: Sequence[Part], spare: Sequence[int], bench: Bench) -> list[SetUp]:
    """Every length at one stop, whatever wood or width, longest first; ``spare`` are how many of each part of the job
    are spares, and they are the last that are cut.

    Pieces a part is cut apart into come off one strip, each at the stop of its own length. What would leave less than
    the grip under the hold-down follows its stop as one step more, with what to do instead.
    """
    rules = bench.wood.rules
    head = rules.snipe + rules.crosscut_kerf if rules.snipe else 0
    left = {strip.name: strip.length - head for strip in bench.wood.cut_strips}
    room = {name: length - max(rules.grip, rules.snipe) for name, length in left.items()}
    groups: dict[int, list[PartCut]] = {}
    for one in cuts:
        room[one.strip.name] -= one.count * sum(length + rules.crosscut_kerf for length in one.lengths)
        for length in dict.fromkeys(one.lengths):
            groups.setdefault(length, []).append(one)
    made: list[tuple[SetUp, list[_Line]]] = []
    before: Length | None = None
    for stop, mine in sorted(groups.items(), key=lambda group: -group[0]):
        setting = _setting(stop, mine, room, bench)
        if before is not None:
            moved = setting.set_to - before
            setting = replace(setting, travel=max(moved, -moved))
        before = setting.set_to
        made += _at_stop(stop, setting, mine, parts, left, bench)
    return _with_spares(made, spare)


def _setting(stop: int, mine: Sequence[PartCut], room: dict[str, int], bench: Bench) -> Setting:
    """The stop's distance with the stand-off in it, and the nearest mark of its scale; the exact distance where parts
    left at the mark would be longer than some strip has room for without giving up some of its grip."""
    exact = bench.length(stop) + bench.shop.stand_off
    mark = nearest(exact, bench.shop.saw_scale)
    count: Counter[str] = Counter()
    for one in mine:
        count[one.strip.name] += one.count * one.lengths.count(stop)
    unit = bench.wood.unit
    if any((mark - exact) * n > unit * max(room[name], 0) for name, n in count.items()):
        mark = exact
    for name, n in count.items():
        # What the strip loses to longer parts, in whole units rounded up.
        room[name] -= max(-(((exact - mark) * n).mm // unit.mm), 0)
    return Setting("stop", exact, mark, bench.shop.stand_off)


def _at_stop(
    stop: int, setting: Setting, mine: Sequence[PartCut], parts: Sequence[Part], left: dict[str, int], bench: Bench
) -> list[tuple[SetUp, list[_Line]]]:
    """The set-up of this stop, and one more where some of it is not to be cut so. ``left`` is what each strip still
    measures, brought up to date."""
    lines: list[_Line] = []
    hand: list[_Line] = []
    least = 0
    fed: list[tuple[CutStrip, int]] = []
    held: int | None = None
    takes = stop + bench.wood.rules.crosscut_kerf
    for one in mine:
        name = one.strip.name
        times = one.lengths.count(stop)
        count = one.count * times
        # As many as leave the grip; what is left shrinks with every one, so the rest do not.
        sawn = next((n for n in range(count) if crosscut_barred(left[name] - takes * (n + 1), bench)), count)
        line = _Line(one.part, times, _cut(one, stop, sawn, parts[one.part], bench))
        if sawn:
            lines.append(line)
            fed.append((one.strip, sawn))
            after = left[name] - takes * sawn
            held = after if held is None else min(held, after)
        if sawn < count:
            after = left[name] - takes * count
            least = min(least, after) if hand else after
            hand.append(replace(line, cut=replace(line.cut, count=count - sawn)))
        left[name] -= takes * count
    made = []
    if lines:
        passes, bundle = _passes(fed, bench)
        step = bench.step(
            "part",
            [line.cut for line in lines],
            passes,
            settings=(setting,),
            passes=passes,
            notes=stop_notes(setting, bundle, any(len(one.lengths) > 1 for one in mine), bench),
            bundle=bundle,
            held=bench.length(max(held or 0, 0)),
        )
        made.append((step, lines))
    reason = crosscut_barred(least, bench) if hand else None
    if reason is not None:
        words = reason.words(named(list(dict.fromkeys(line.cut.piece for line in hand))))
        count = sum(line.cut.count for line in hand)
        made.append((bench.step("part", [line.cut for line in hand], count, instead=words), hand))
    return made


def _cut(one: PartCut, stop: int, count: int, part: Part, bench: Bench) -> Cut:
    return Cut(
        part.name or "part",
        one.strip.name,
        one.strip.wood,
        count,
        bench.length(stop),
        bench.length(part.width),
        bench.length(part.thickness),
    )


def _passes(fed: Sequence[tuple[CutStrip, int]], bench: Bench) -> tuple[int, int]:
    """How often the sled is pushed, and how many strips lie side by side at most. Strips of one width and thickness
    go together as far as the hold-down reaches, those with the most cuts first."""
    sections: dict[tuple[int, int], Counter[str]] = {}
    for strip, count in fed:
        sections.setdefault((strip.width, strip.thickness), Counter())[strip.name] += count
    passes, most = 0, 1
    for (width, _), counts in sections.items():
        abreast = max(int(bench.shop.hold_down / bench.length(width)), 1)
        cuts = sorted(counts.values(), reverse=True)
        passes += sum(cuts[::abreast])
        most = max(most, min(abreast, len(cuts)))
    return passes, most


def _with_spares(made: Sequence[tuple[SetUp, list[_Line]]], spare: Sequence[int]) -> list[SetUp]:
    """The steps with the spares told: of every part the last that are cut, whatever strip they come off. Pieces that
    are alike in all but which part they are counted to share a line."""
    left: dict[tuple[int, Length], int] = {}
    steps = []
    for step, lines in reversed(made):
        cuts: dict[Cut, tuple[int, int]] = {}
        for line in reversed(lines):
            key = line.part, line.cut.length
            rest = left.setdefault(key, spare[line.part] * line.times)
            here = min(rest, line.cut.count)
            left[key] = rest - here
            alike = replace(line.cut, count=0)
            count, spares = cuts.get(alike, (0, 0))
            cuts[alike] = count + line.cut.count, spares + here
        told = [replace(cut, count=count, spares=spares) for cut, (count, spares) in cuts.items()]
        steps.append(replace(step, cuts=tuple(reversed(told))))
    return steps[::-1]
