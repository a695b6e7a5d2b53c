"""Ripping strips off milled rough lengths, and gauging them to one width."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from planner.cutting.setups.bench import Bench, named
from planner.cutting.setups.limits import Barred, gauging_barred, ripping_barred
from planner.cutting.setups.milling import parted
from planner.cutting.setups.order import least_travel
from planner.cutting.setups.reading import Blank, CutStrip
from planner.cutting.setups.scale import below, nearest
from planner.cutting.setups.terms import Cut, Setting, SetUp
from planner.measures import ZERO, Length

# By eye, a section this near to a square is one: common practice, no source.
NEARLY_ALIKE = Length.of_mm(3)
# A strip that stands more than this many times as high as it is thick tips over: common practice, no source.
TIPS = 2
_TIPS = (
    "Strips much higher than thick tip over: send several abreast, clamped or taped together, or bring these to width "
    "at the jointer and the fence."
)
# A strip with the blank it comes off.
_Off = tuple[Blank, CutStrip]


def rip_steps(bench: Bench) -> tuple[list[SetUp], str]:
    """One fence setting for each width, whatever boards and woods have it; and in a sentence why in this order.

    Every setting is done once. What the shop's limits keep from the saw is told with what to do instead.
    """
    taken: dict[int, list[_Off]] = {}
    kept: dict[Barred, list[_Off]] = {}
    for blank in bench.wood.blanks:
        for strip in blank.strips:
            reason = ripping_barred(blank, strip, bench)
            if reason is None:
                taken.setdefault(strip.ripped, []).append((blank, strip))
            else:
                kept.setdefault(reason, []).append((blank, strip))
    widths = sorted(taken, reverse=True)
    fed = _fed(widths, taken, bench)
    order = least_travel(widths, fed.narrowest)
    steps = []
    room = {blank.name: _slack(blank, bench) for blank in bench.wood.blanks}
    before: Length | None = None
    for n, i in enumerate(order):
        offs = taken[widths[i]]
        exact = bench.length(widths[i])
        set_to = _scale(exact, offs, room, bench)
        setting = Setting("fence", exact, set_to, travel=_moved(before, set_to))
        before = set_to
        steps.append(_rip_step(bench, offs, setting, fed.narrowest(frozenset(order[:n]), i)))
    for reason, offs in kept.items():
        words = reason.words(named([strip.name for _, strip in offs]))
        steps.append(bench.step("rip", _cuts(offs, bench), len(offs), instead=words))
    return steps, _why(len(order))


def gauge_steps(bench: Bench, on_edge: Sequence[str]) -> list[SetUp]:
    """All strips of one width, whatever the wood, at one setting, the widest first; none where none are left wide.
    Those of the woods ``on_edge`` are marked to be turned."""
    if not bench.wood.rules.over_width:
        return []
    steps: list[SetUp] = []
    before: Length | None = None
    for width in sorted({strip.width for strip in bench.wood.cut_strips}, reverse=True):
        exact = bench.length(width)
        setting = Setting("thickness", exact, exact, travel=_moved(before, exact))
        before = exact
        same = [strip for strip in bench.wood.cut_strips if strip.width == width]
        steps += parted(same, lambda strip: gauging_barred(strip, bench), partial(_gauge_step, bench, setting, on_edge))
    return steps


def _gauge_step(
    bench: Bench, setting: Setting, on_edge: Sequence[str], strips: Sequence[CutStrip], instead: str
) -> SetUp:
    notes = (
        f"Ripped {bench.says(bench.wood.rules.over_width)} wide, the strips stand on edge here: half comes off each "
        f"sawn edge, and all of them take the last pass at one setting, {bench.shop.says(setting.exact)}.",
        "Gauge one strip and measure it at both ends and the middle before the rest follow.",
        *([_TIPS] if any(strip.width > TIPS * strip.thickness for strip in strips) else []),
    )
    cuts = [
        bench.of_strip(strip, "strip, turned on edge after" if strip.wood in on_edge else "strip", strip.width)
        for strip in strips
    ]
    least = min(bench.length(strip.length) for strip in strips)
    return bench.step("gauge", cuts, len(cuts), settings=(setting,), notes=notes, instead=instead, held=least)


def _nearly_square(strip: CutStrip, bench: Bench) -> bool:
    """Whether a strip's sawn edges could be taken for its planed faces by eye."""
    off = bench.length(strip.ripped - strip.thickness)
    return max(off, -off) <= NEARLY_ALIKE


def _rip_step(bench: Bench, offs: Sequence[_Off], setting: Setting, fed: int) -> SetUp:
    notes = [
        "The strip is what runs between blade and fence, straight edge to the fence, brought through with a push "
        "stick; what is left of the rough length lies on the far side of the blade and is fed again."
    ]
    if setting.off:
        notes.append(
            f"The scale shows {bench.shop.says(setting.set_to)}; exact is {bench.shop.says(setting.exact)}. What that "
            "is more or less goes at the gauging."
            if bench.wood.rules.over_width
            else f"The scale shows {bench.shop.says(setting.set_to)}; exact is {bench.shop.says(setting.exact)}: "
            "measure a test strip and move the fence until it is right."
        )
    if bench.wood.rules.over_width and any(_nearly_square(strip, bench) for _, strip in offs):
        notes.append(
            "Width and thickness are nearly alike: chalk the planed faces first, so that it is the sawn edges that are "
            "gauged."
        )
    if len({blank.thickness for blank, _ in offs}) > 1:
        notes.append("Blade to just above the thickest, then down again for the thinner ones.")
    cuts = _cuts(offs, bench)
    return bench.step(
        "rip", cuts, len(offs), settings=(setting,), notes=tuple(notes), held=bench.length(fed), passes=len(offs)
    )


def _cuts(offs: Sequence[_Off], bench: Bench) -> list[Cut]:
    """A line for each blank and width."""
    lines: dict[tuple[str, int], list[_Off]] = {}
    for blank, strip in offs:
        lines.setdefault((blank.name, strip.ripped), []).append((blank, strip))
    return [
        Cut(
            "strip",
            same[0][0].name,
            same[0][0].wood,
            len(same),
            bench.length(same[0][0].length),
            bench.length(same[0][1].ripped),
            bench.length(same[0][0].thickness),
            gives=tuple(strip.name for _, strip in same),
        )
        for same in lines.values()
    ]


@dataclass(frozen=True, slots=True)
class _Fed:
    """The distances of the fence and, for each pattern of strips the machine rips off a blank, the blank's width and
    how many strips it gives at each distance. In units."""

    widths: tuple[int, ...]
    blanks: tuple[tuple[int, tuple[int, ...]], ...]
    kerf: int

    def narrowest(self, done: frozenset[int], i: int) -> int:
        """The narrowest piece fed when distance ``i`` follows those in ``done``. It holds a strip the machine takes,
        so neither it nor what is left of it to be fed again is under the shop's narrowest strip."""
        found = []
        for across, counts in self.blanks:
            if counts[i]:
                left = across - sum(counts[d] * (self.widths[d] + self.kerf) for d in done)
                found.append(left - (counts[i] - 1) * (self.widths[i] + self.kerf))
        return min(found)


def _fed(widths: Sequence[int], taken: dict[int, list[_Off]], bench: Bench) -> _Fed:
    across: dict[str, int] = {}
    counts: dict[str, list[int]] = {}
    for i, width in enumerate(widths):
        for blank, _ in taken[width]:
            across[blank.name] = blank.across
            counts.setdefault(blank.name, [0] * len(widths))[i] += 1
    alike = {(across[name], tuple(count)) for name, count in counts.items()}
    return _Fed(tuple(widths), tuple(sorted(alike)), bench.wood.rules.rip_kerf)


def _slack(blank: Blank, bench: Bench) -> int:
    """How much wider in sum the strips of a blank could be ripped and still stay off the edge that is trimmed."""
    rules = bench.wood.rules
    return blank.across - rules.edge_trim - sum(s.ripped + rules.rip_kerf for s in blank.strips) + rules.rip_kerf


def _scale(exact: Length, offs: Sequence[_Off], room: dict[str, int], bench: Bench) -> Length:
    """The mark of the fence's scale: the nearest, the one below where the rough length has no room for more, and the
    exact distance where that would be narrower than the strip has to be once gauged."""
    step = bench.shop.saw_scale
    count: dict[str, int] = {}
    for blank, _ in offs:
        count[blank.name] = count.get(blank.name, 0) + 1
    mark = nearest(exact, step)
    more = mark - exact
    unit = bench.wood.unit
    if more > ZERO and any(more * n > unit * room[name] for name, n in count.items()):
        mark = below(exact, step)
        more = mark - exact
    least = exact - unit * bench.wood.rules.over_width
    if mark < least or mark < bench.shop.narrowest_strip:
        return exact
    for name, n in count.items():
        # Whole units are taken off the room, rounded up.
        room[name] -= max(-((-more * n).mm // unit.mm), 0)
    return mark


def _moved(before: Length | None, now: Length) -> Length:
    if before is None:
        return ZERO
    return now - before if now > before else before - now


def _why(settings: int) -> str:
    if settings < 2:
        return "Every strip is ripped at one fence setting." if settings else ""
    return (
        f"The fence stands at {settings} distances, each once, in an order that moves it least in sum; of orders alike "
        "in that, the one in which the narrowest piece fed is the widest."
    )
