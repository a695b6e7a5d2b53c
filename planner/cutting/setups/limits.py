"""What the maker's safe limits keep from a machine, and what to do instead.

The limits are the shop's as they are now, not those a plan was made with. What is said instead is common practice, no
source; the machine's manual comes first.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from planner.cutting.setups.bench import Bench
from planner.cutting.setups.reading import Blank, CutBoard, CutStrip, Rough

_MANUAL = "If your machine's manual allows more, set the limit in the workshop; it comes before this sheet."


@dataclass(frozen=True, slots=True)
class Barred:
    """Why pieces do not go to the machine. ``pieces`` are counted in ``instead`` by their names."""

    why: str
    instead: str

    def words(self, names: str) -> str:
        return f"{names}: {self.why} Instead: {self.instead} {_MANUAL}"


def milling_barred(blank: Blank, bench: Bench) -> Barred | None:
    """Whether a blank is kept from jointer and planer: too short, or milled too thin."""
    shop = bench.shop
    if bench.length(blank.length) < shop.shortest_machined:
        gang = _gang(blank, bench)
        together = f"leave {gang} in one piece until they are planed, and crosscut them then; or " if gang else ""
        return Barred(
            f"{bench.under(blank.length)} is shorter than the {shop.says(shop.shortest_machined)} this shop feeds to "
            "jointer and planer.",
            f"{together}fix it to a longer carrier board with pieces of the same thickness before and behind it, or "
            "flatten it with a hand plane.",
        )
    if bench.length(blank.thickness) < shop.thinnest_planed:
        return Barred(
            f"{bench.under(blank.thickness)} is thinner than the {shop.says(shop.thinnest_planed)} this shop planes.",
            "plane it to the limit and sand it down, or plane it on a flat carrier board as long as itself.",
        )
    return None


def resawing_barred(rough: Rough, bench: Bench) -> Barred | None:
    """Whether a rough length is kept from the band saw: wider than stands under its guide."""
    tallest = bench.shop.tallest_resaw
    if bench.length(rough.blanks[0].across) > tallest:
        return Barred(
            f"{bench.over(rough.blanks[0].across)} wide, it does not stand under the guide, which takes "
            f"{bench.shop.says(tallest)}.",
            "rip it in two first, between strips, and resaw both, or saw it through by hand along a gauged line.",
        )
    return None


def ripping_barred(blank: Blank, strip: CutStrip, bench: Bench) -> Barred | None:
    """Whether a strip is not to be ripped on the table saw: the length too long, too short or too thick, the strip
    too narrow."""
    shop = bench.shop
    if bench.length(blank.length) > shop.longest_rip > bench.length(0):
        return Barred(
            f"{bench.over(blank.length)} is longer than the {shop.says(shop.longest_rip)} this shop rips.",
            "crosscut it shorter in a new plan, or rip it on a band saw with a stand at both ends and a second pair of "
            "hands.",
        )
    if bench.length(blank.length) < shop.shortest_machined:
        gang = _gang(blank, bench)
        together = f"rip it before it is parted from {gang}, where their strips are alike; or " if gang else ""
        return Barred(
            f"{bench.under(blank.length)} is shorter than the {shop.says(shop.shortest_machined)} this shop feeds to a "
            "machine.",
            f"{together}clamp it and saw along a gauged line with a hand saw, then plane to width against a shooting "
            "board.",
        )
    if bench.length(strip.ripped) < shop.narrowest_strip:
        return Barred(
            f"a strip {bench.under(strip.ripped)} wide is narrower than the {shop.says(shop.narrowest_strip)} this "
            "shop rips; it could not be held between blade and fence.",
            "choose a wider pitch, or saw it with a hand saw or a fine band saw along a gauged line and plane it to "
            "width by hand.",
        )
    if bench.length(blank.thickness) > shop.tallest_cut:
        return Barred(
            f"{bench.over(blank.thickness)} thick, it is more than the {shop.says(shop.tallest_cut)} the blade cuts "
            "through.",
            "rip it on a band saw, a little wide, and bring the strips to width at the gauging.",
        )
    return None


def gauging_barred(strip: CutStrip, bench: Bench) -> Barred | None:
    """Whether a strip is kept from the planer at the gauging: too short or too thin."""
    shop = bench.shop
    if bench.length(strip.length) < shop.shortest_machined:
        return Barred(
            f"{bench.under(strip.length)} is shorter than the {shop.says(shop.shortest_machined)} this shop feeds to a "
            "planer.",
            "bring it to width with a hand plane between two strips of the right width, or glue-tape it to a longer "
            "carrier board.",
        )
    if bench.length(strip.width) < shop.thinnest_planed:
        return Barred(
            f"{bench.under(strip.width)} is thinner than the {shop.says(shop.thinnest_planed)} this shop planes.",
            "sand it to width on a drum sander or on a flat board with abrasive, all strips beside one another.",
        )
    return None


def crosscut_barred(held: int, bench: Bench) -> Barred | None:
    """Whether the end that would be held at a crosscut is shorter than the grip."""
    grip = bench.shop.grip
    if bench.length(max(held, 0)) < grip:
        return Barred(
            f"as little as {bench.under(max(held, 0))} of a strip would be left under the hold-down, less than the "
            f"{bench.shop.says(grip)} this shop holds by.",
            "fix the strip to a longer carrier strip that the hold-down can bear on, or cut these with a fine hand saw "
            "in a mitre box.",
        )
    return None


def _gang(blank: Blank, bench: Bench) -> str:
    """Rough lengths next to the blank on its board, of its thickness and with nothing between them but a kerf, that
    are together long enough to be machined; empty where there are none."""
    on = next(one for one in bench.wood.boards if one.board.name == blank.board)
    place = next((i for i, rough in enumerate(on.rough) if rough.name == blank.rough), None)
    if place is None or on.rough[place].resawn:
        return ""
    least = bench.shop.shortest_machined
    for low, high in ((place - 1, place), (place, place + 1), (place - 1, place + 1)):
        if low < 0 or high >= len(on.rough) or not _together(on, low, high, blank.thickness, bench):
            continue
        first, last = on.rough[low], on.rough[high]
        whole = last.at + last.length - first.at
        if bench.length(whole) >= least:
            return " and ".join(rough.name for rough in on.rough[low : high + 1]) + f" ({bench.under(whole)})"
    return ""


def _together(on: CutBoard, low: int, high: int, thickness: int, bench: Bench) -> bool:
    run = on.rough[low : high + 1]
    alike = all(not rough.resawn and not rough.kept and rough.blanks[0].thickness == thickness for rough in run)
    kerf = bench.wood.rules.crosscut_kerf
    return alike and all(b.at - a.at - a.length == kerf for a, b in pairwise(run))
