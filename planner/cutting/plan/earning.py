"""The most a board can earn at given prices of its parts, by four nested sums in plain loops over whole numbers.

Nothing of the planner's own sums is used: this is what a floor is proved by (``planner.cutting.plan.floor``).
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

from planner.cutting.plan.terms import SCALE, Counted, Rules

# Less than any sum of prices.
_NEVER = -(10**40)
# (width, thickness) -> (length, shade asked for, count, price)
Priced = dict[tuple[int, int], list[tuple[int, str, int, int]]]
# What is counted, and what each of it costs beside.
Paid = list[tuple[Counted, int]]


@dataclass(frozen=True, slots=True)
class Stuff:
    """What of a board rough lengths may come out of: ``across`` units wide, ``yields`` thick, of a ``shade``, its
    offcuts worth ``worth``; and the thicknesses its two ``layers`` may have where it may be resawn."""

    across: int
    yields: int
    worth: int
    shade: str
    layers: tuple[int, ...]


def most_earned(
    priced: Priced,
    paid: Paid,
    boards: list[tuple[Stuff, tuple[int, ...]]],
    rules: Rules,
) -> list[int]:
    """The most each of the ``boards`` can earn, in 1/SCALE of a money unit; each is what it is of and the lengths of
    its clear stretches. ``paid`` is what each that is counted costs. Boards that differ in length only share sums."""
    longest: dict[Stuff, int] = {}
    for stuff, stretches in boards:
        longest[stuff] = max(longest.get(stuff, 0), *stretches)
    whole = max(longest.values(), default=0)
    steps = min(whole, rules.longest_rip or whole) // rules.grid
    sums = _Sums(priced, paid, steps, rules)
    tables = {stuff: _lengthwise(sums.rough(stuff), along, rules) for stuff, along in longest.items()}
    return [
        sum(_stretch_value(along, stuff, tables[stuff], rules) for along in stretches) for stuff, stretches in boards
    ]


class _Sums:
    """The sums up to rough lengths, each found once."""

    def __init__(self, priced: Priced, paid: Paid, steps: int, rules: Rules) -> None:
        self.priced, self.paid, self.steps, self.rules = priced, paid, steps, rules
        self._fills: dict[tuple[tuple[int, int], str], list[int]] = {}
        self._strips: dict[tuple[tuple[int, int], int, str], list[int | None]] = {}

    def strip(self, section: tuple[int, int], worth: int, shade: str) -> list[int | None]:
        if not any(asked == shade for _, asked, _, _ in self.priced[section]):
            shade = ""
        key = (section, worth, shade)
        if key not in self._strips:
            if (section, shade) not in self._fills:
                parts = [
                    (length, count, price)
                    for length, asked, count, price in self.priced[section]
                    if asked in ("", shade)
                ]
                # What is worth nothing matters only where it takes from a tail that is paid for.
                tails = [
                    price for one, price in self.paid if (one.what, one.width, one.thickness) == ("tails", *section)
                ]
                if max(tails, default=0) <= 0:
                    parts = [part for part in parts if part[2] > 0]
                self._fills[section, shade] = _filled(parts, self.steps * self.rules.grid, self.rules)
            filled = self._fills[section, shade]
            self._strips[key] = _strip_values(section, filled, self.paid, worth, self.steps, self.rules)
        return self._strips[key]

    def rough(self, stuff: Stuff) -> list[int]:
        """The most a rough length is worth, for every grid step: ripped as it is, or as two layers."""
        rules = self.rules
        able = [section for section in self.priced if section[1] <= stuff.yields and _safe(section, rules)]
        ripped = {section: self.strip(section, stuff.worth, stuff.shade) for section in able}
        values = _rough_values(ripped, self.paid, stuff.across, stuff.worth, self.steps, rules)
        half = stuff.worth // 2
        for thickness in stuff.layers:
            able = [section for section in self.priced if section[1] == thickness and _safe(section, rules)]
            ripped = {section: self.strip(section, half, stuff.shade) for section in able}
            layer = _rough_values(ripped, self.paid, stuff.across, half, self.steps, rules)
            rate = _rate(stuff.across, half, rules) if stuff.across >= rules.keep_width else 0
            beside = _paid_for("resawn", (0, thickness), self.paid, self.steps, rules)
            for step in range(self.steps + 1):
                length = step * rules.grid
                if length < rules.shortest_rough:
                    continue
                # A layer is ripped or kept whole. Two that are kept are worth no more than the wood kept as it is.
                kept = rate * length if length >= rules.keep_length else 0
                values[step] = max(values[step], 2 * max(layer[step], kept) - beside[step])
        return values


def _safe(section: tuple[int, int], rules: Rules) -> bool:
    return section[0] + rules.over_width >= rules.narrowest and section[1] >= rules.thinnest


def _rate(width: int, worth: int, rules: Rules) -> int:
    return -(-SCALE * width * worth // rules.worth_area)


def _paid_for(what: str, section: tuple[int, int], paid: Paid, steps: int, rules: Rules) -> list[int]:
    """What one of these costs beside, for every grid step of the rough length it is on."""
    costs = [0] * (steps + 1)
    for one, price in paid:
        if one.what == what and (one.width, one.thickness) == section:
            for step in range(steps + 1):
                if step * rules.grid >= one.length:
                    costs[step] += price
    return costs


def _filled(parts: list[tuple[int, int, int]], longest: int, rules: Rules) -> list[int]:
    """The most that parts which take just ``at`` units, kerfs included, are worth, for every ``at``; far below nought
    where none do."""
    room = longest + rules.crosscut_kerf
    best = [0] + [_NEVER] * room
    for length, count, price in parts:
        takes = length + rules.over_length + rules.crosscut_kerf
        left, bundle = min(count, room // takes), 1
        while left > 0:
            pieces = min(bundle, left)
            left -= pieces
            bundle *= 2
            step, value = pieces * takes, pieces * price
            for at in range(room, step - 1, -1):
                with_it = best[at - step] + value
                if with_it > best[at]:
                    best[at] = with_it
    return best


def _strip_values(
    section: tuple[int, int], filled: list[int], paid: Paid, worth: int, steps: int, rules: Rules
) -> list[int | None]:
    """The most a strip is worth, for every grid step of its length; None where it is too short to be held."""
    held = max(rules.grip, rules.snipe)
    front = rules.snipe + rules.crosscut_kerf if rules.snipe else 0
    rate = _rate(section[0] + rules.over_width, worth, rules)
    beside, for_tail = (_paid_for(what, section, paid, steps, rules) for what in ("strips", "tails"))
    # A kept tail is paid by the unit, so a strip with one is worth: whole length's pay + most of (parts - pay used).
    least, upto = [_NEVER], [_NEVER]
    low = top = _NEVER
    for used, value in enumerate(filled):
        if value - rate * used > low:
            low = value - rate * used
        if value > top:
            top = value
        least.append(low)
        upto.append(top)
    # A tail at least so long is worth something, and is then a tail that is kept.
    worth_something = (
        max(rules.keep_length, -(-rules.worth_area // (worth * (section[0] + rules.over_width)))) if rate else 0
    )
    values: list[int | None] = []
    # Where what fills the strip must leave no such tail: places, one after another worth less, of which no worse one
    # further back can be the best of a longer strip.
    ahead: deque[int] = deque()
    seen = 0
    for step in range(steps + 1):
        length = step * rules.grid
        room = length - front - held if held else length + rules.crosscut_kerf
        if room < 0:
            values.append(None)
            continue
        value = upto[room + 1]
        if rate and for_tail[step] > 0:
            seen, value = _best_within(filled, ahead, seen, max(length - front - worth_something + 1, 0), room)
        most = min(length - front - max(rules.keep_length, 1), room)
        if rate and most >= 0:
            value = max(value, rate * (length - front) + least[most + 1] - for_tail[step])
        values.append(value - beside[step])
    return values


def _best_within(filled: list[int], ahead: deque[int], seen: int, first: int, last: int) -> tuple[int, int]:
    """The most of ``filled`` from ``first`` to ``last``, neither of which ever comes down from one asking to the next;
    before it, how many places were looked at. ``ahead`` are those of them that can still be the best."""
    while seen <= min(last, len(filled) - 1):
        while ahead and filled[ahead[-1]] <= filled[seen]:
            ahead.pop()
        ahead.append(seen)
        seen += 1
    while ahead and ahead[0] < first:
        ahead.popleft()
    return seen, filled[ahead[0]] if ahead else _NEVER


def _rough_values(
    strips: dict[tuple[int, int], list[int | None]], paid: Paid, across: int, worth: int, steps: int, rules: Rules
) -> list[int]:
    """The most a ripped rough length is worth, for every grid step: strips of one thickness, and the edge left."""
    beside, for_edge = (_paid_for(what, (0, 0), paid, steps, rules) for what in ("rough", "edges"))
    values = [0] * (steps + 1)
    for thickness in {section[1] for section in strips}:
        milled = _paid_for("milled", (0, thickness), paid, steps, rules)
        alike = [
            (section[0] + rules.over_width + rules.rip_kerf, value)
            for section, value in strips.items()
            if section[1] == thickness
        ]
        room = across + rules.rip_kerf
        # Only where a strip's slots can end does anything change from one width to the next.
        ends = {0}
        for at in range(room + 1):
            if at in ends:
                ends |= {at + takes for takes, _ in alike if at + takes <= room}
        for step in range(steps + 1):
            length = step * rules.grid
            if length < rules.shortest_rough:
                continue
            best = {0: 0}
            for at in sorted(ends):
                for takes, value in alike:
                    before, more = best.get(at - takes), value[step]
                    if before is not None and more is not None and (at not in best or before + more > best[at]):
                        best[at] = before + more
            for at, value_at in best.items():
                left = across - at
                kept = worth > 0 and left > 0 and left >= rules.keep_width and length >= rules.keep_length
                edge = _rate(left, worth, rules) * length - for_edge[step] if kept else 0
                # An edge that is worth something is an edge kept, and is paid for.
                if not kept or left * length * worth < rules.worth_area:
                    edge = max(edge, 0)
                if at > 0:
                    values[step] = max(values[step], value_at + edge - beside[step] - milled[step])
    return values


def _lengthwise(rough: list[int], along: int, rules: Rules) -> list[int]:
    """The most that rough lengths, each with a kerf behind it, are worth within every length up to ``along`` and a
    kerf. A longer one worth no more than a shorter one is never needed."""
    ways: list[tuple[int, int]] = []
    for step, value in enumerate(rough):
        if step and value > (ways[-1][1] if ways else 0):
            ways.append((step * rules.grid + rules.crosscut_kerf, value))
    best = [0] * (along + rules.crosscut_kerf + 1)
    unit = _common([rules.grid, rules.crosscut_kerf])
    for at in range(1, len(best)):
        top = best[at - 1]
        if at % unit == 0:
            for takes, value in ways:
                if takes > at:
                    break
                with_it = best[at - takes] + value
                if with_it > top:
                    top = with_it
        best[at] = top
    return best


def _common(numbers: list[int]) -> int:
    most = 0
    for number in numbers:
        while number:
            most, number = number, most % number
    return most or 1


def _stretch_value(along: int, stuff: Stuff, best: list[int], rules: Rules) -> int:
    value = best[along + rules.crosscut_kerf]
    if stuff.worth > 0 and stuff.across >= rules.keep_width:
        rate = _rate(stuff.across, stuff.worth, rules)
        for used in range(along - max(rules.keep_length, 1) + 1):
            value = max(value, best[used] + rate * (along - used))
    return value
