"""Ripping strips off milled rough lengths, and gauging them to one width."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from planner.cutting.setups.bench import Bench, named
from planner.cutting.setups.limits import Barred, gauging_barred, ripping_barred
from planner.cutting.setups.milling import parted
from planner.cutting.setups.order import MOST_EXACT, least_travel
from planner.cutting.setups.reading import Blank, CutStrip
from planner.cutting.setups.scale import below, nearest
from planner.cutting.setups.terms import Cut, Setting, SetUp
from planner.measures import ZERO, Length

# A strip with the blank it comes off.
_Off = tuple[Blank, CutStrip]


def rip_steps(bench: Bench) -> tuple[list[SetUp], str]:
    """One fence setting for each width, whatever boards and woods have it; and in a sentence why in this order.

    Every setting is done once. No piece narrower than the shop's narrowest strip is fed, nor left to be fed again.
    Raises nothing: what the shop's limits keep from the saw is told with what to do instead.
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
    order = _order(widths, taken, bench)
    by_hand: list[_Off] = []
    if order is None:
        # Cannot come from a plan made under these limits: then nothing is ripped on the machine.
        by_hand = [off for offs in taken.values() for off in offs]
        widths, order = [], ()
    steps = []
    room = {blank.name: _slack(blank, bench) for blank in bench.wood.blanks}
    before: Length | None = None
    for i in order:
        offs = taken[widths[i]]
        exact = bench.length(widths[i])
        set_to = _scale(exact, offs, room, bench)
        setting = Setting("fence", exact, set_to, travel=_moved(before, set_to))
        before = set_to
        steps.append(_rip_step(bench, offs, setting, _least_fed(widths, order, i, taken, bench)))
    if by_hand:
        narrowest = bench.shop.says(bench.shop.narrowest_strip)
        reason = Barred(
            f"in every order of the fence a piece narrower than the {narrowest} this shop rips would be fed.",
            "plan anew with the workshop's limits as they are now.",
        )
        kept.setdefault(reason, []).extend(by_hand)
    for reason, offs in kept.items():
        words = reason.words(named([strip.name for _, strip in offs]))
        steps.append(bench.step("rip", _cuts(offs, bench), len(offs), instead=words))
    return steps, _why(len(order))


def gauge_steps(bench: Bench) -> list[SetUp]:
    """All strips of one width, whatever the wood, at one setting, the widest first; none where none are left wide."""
    if not bench.wood.rules.over_width:
        return []
    steps: list[SetUp] = []
    before: Length | None = None
    for width in sorted({strip.width for strip in bench.wood.strips}, reverse=True):
        exact = bench.length(width)
        setting = Setting("thickness", exact, exact, travel=_moved(before, exact))
        before = exact
        same = [strip for strip in bench.wood.strips if strip.width == width]
        steps += parted(same, lambda strip: gauging_barred(strip, bench), partial(_gauge_step, bench, setting))
    return steps


def _gauge_step(bench: Bench, setting: Setting, strips: Sequence[CutStrip], instead: str) -> SetUp:
    notes = (
        f"Ripped {bench.says(bench.wood.rules.over_width)} wide, the strips stand on edge here: half comes off each "
        f"sawn edge, and all of them take the last pass at one setting, {bench.shop.says(setting.exact)}.",
        "Gauge one strip and measure it at both ends and the middle before the rest follow.",
    )
    cuts = [bench.of_strip(strip, "strip", strip.width) for strip in strips]
    least = min(bench.length(strip.length) for strip in strips)
    return bench.step("gauge", cuts, len(cuts), settings=(setting,), notes=notes, instead=instead, held=least)


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
    if len({bench.length(blank.thickness) for blank, _ in offs}) > 1:
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


def _order(widths: Sequence[int], taken: dict[int, list[_Off]], bench: Bench) -> tuple[int, ...] | None:
    return least_travel(widths, lambda done, i: _feeds(widths, done, i, taken, bench))


def _feeds(
    widths: Sequence[int], done: frozenset[int], i: int, taken: dict[int, list[_Off]], bench: Bench
) -> int | None:
    """The narrowest piece fed when width ``i`` is ripped after those in ``done``; None where one would be narrower
    than the shop's narrowest strip, or leave such a piece to be fed again."""
    kerf = bench.wood.rules.rip_kerf
    limit = bench.shop.narrowest_strip
    ripped = {widths[d] for d in done}
    least: int | None = None
    for blank in {off[0].name: off[0] for off in taken[widths[i]]}.values():
        on = [strip.ripped for strip in blank.strips if (blank, strip) in taken.get(strip.ripped, ())]
        left = blank.across - sum(width + kerf for width in on if width in ripped)
        now = on.count(widths[i])
        fed = left - (now - 1) * (widths[i] + kerf)
        rest = fed - widths[i] - kerf
        again = any(width not in ripped and width != widths[i] for width in on)
        if bench.length(fed) < limit or (again and bench.length(rest) < limit):
            return None
        least = fed if least is None else min(least, fed)
    return least


def _least_fed(widths: Sequence[int], order: Sequence[int], i: int, taken: dict[int, list[_Off]], bench: Bench) -> int:
    done = frozenset(order[: list(order).index(i)])
    return _feeds(widths, done, i, taken, bench) or 0


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
    exact = "of all orders" if settings <= MOST_EXACT else "of the two ways along its scale"
    return (
        f"The fence stands at {settings} distances, each once, in the order that moves it least in sum {exact}; of "
        "orders alike in that, the one in which the narrowest piece fed is the widest."
    )
