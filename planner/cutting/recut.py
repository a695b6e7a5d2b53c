"""What is cut again: parts spoiled or wanted besides, spares counted first, and the strips they ask for, at the
sizes as made where a tile was measured."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from planner.build import along_of
from planner.build.words import part_words
from planner.cutting.asmade import PartMade
from planner.cutting.lumber import CuttingError, Strip, laid_in_strips, usable_length
from planner.cutting.spares import spares
from planner.figures import Figure, Term
from planner.measures import Length, board_feet, round_half_up, volume_mm3
from planner.shop import Shop

_MM3_PER_M3 = 10**9


@dataclass(frozen=True, slots=True)
class Alike:
    """Parts of one size: ``parts`` are their numbers in the record's table. ``width`` is that of the ripped strip,
    ``gauged`` what it is brought to; ``planned`` are wanted for all boards, ``spares`` cut besides by the plan. A
    ``panel``'s strips are not crosscut before they are glued, and have no spares: its slices do."""

    parts: tuple[int, ...]
    name: str
    wood: str
    width: Length
    gauged: Length
    thickness: Length
    length: Length
    planned: int
    spares: int
    panel: bool


@dataclass(frozen=True, slots=True)
class Count:
    """Parts of one size that were ``spoiled``, are wanted ``besides`` the plan, and were cut ``again`` since."""

    spoiled: int = 0
    besides: int = 0
    again: int = 0


@dataclass(frozen=True, slots=True)
class Section:
    """Strips of one wood, width and thickness that what is still to be cut asks for."""

    wood: str
    width: Length
    gauged: Length
    thickness: Length
    strips: tuple[Strip, ...]
    figure: Figure

    @property
    def count(self) -> int:
        return sum(strip.count for strip in self.strips)


def still_to_cut(alike: Alike, count: Count) -> int:
    """What spares and what was cut again leave to be cut.

    >>> tile = Alike((0,), "tile", "padauk", *[Length.of_mm(17)] * 4, planned=90, spares=4, panel=False)
    >>> still_to_cut(tile, Count(spoiled=6, besides=2)), still_to_cut(tile, Count(spoiled=3))
    (4, 0)
    """
    return max(0, count.spoiled + count.besides - alike.spares - count.again)


def spares_left(alike: Alike, count: Count) -> int:
    """Good ones nothing stands in wait for: the plan's spares and what was cut again, less what took their place."""
    return max(0, alike.spares + count.again - count.spoiled - count.besides)


def parts_alike(record: Mapping[str, Any], rate: Fraction, confidence: Fraction) -> tuple[Alike, ...]:
    """The parts of a kept reckoning (``planner.record``) by wood and size, in its order, with the spares that a share
    ``rate`` of spoiled pieces asks for to be sure to ``confidence``, as ``planner.cutting.lumber_need`` counts them."""
    copies, along = record["spec"]["quantity"], along_of(record)
    numbers: dict[tuple[Any, ...], list[int]] = defaultdict(list)
    for number, part in enumerate(record["parts"]):
        ripped, gauged = part["stages"]["ripped"], part["stages"]["gauged"]
        key = (part["wood"], ripped[1], gauged[1], ripped[2], ripped[0], bool(part.get("for_all")))
        numbers[key].append(number)
    found = []
    for (wood, width, gauged_to, thickness, length, panel), at in numbers.items():
        planned = sum(record["parts"][n]["count"] for n in at) * (1 if panel else copies)
        called = dict.fromkeys(part_words(record["parts"][n], along) for n in at)
        ripped_to, gauge, thick, long = (Length.of_mm(text) for text in (width, gauged_to, thickness, length))
        more = 0 if panel else spares(planned, rate, confidence)
        found.append(Alike(tuple(at), " or ".join(called), wood, ripped_to, gauge, thick, long, planned, more, panel))
    return tuple(found)


def as_made(alike: Alike, made: Sequence[PartMade]) -> Alike:
    """The same parts at the sizes that follow from what was measured (``planner.cutting.asmade.remeasured``). Where
    parts that were of one size are not any more, the largest: what is cut too long is cut down, too short is lost."""
    stages = [{stage.name: stage for stage in made[n].stages} for n in alike.parts]
    return replace(
        alike,
        width=max(each["ripped"].width for each in stages),
        gauged=max(each["gauged"].width for each in stages),
        length=max(each["crosscut"].length for each in stages),
    )


def record_again(record: Mapping[str, Any], wanted: Sequence[tuple[Alike, int]]) -> dict[str, Any]:
    """A record of nothing but what is cut again, so many of each, for whatever reckons wood from records: one board,
    no spares on top, at the sizes of ``wanted``."""
    parts = []
    for alike, count in wanted:
        if not count:
            continue
        part = record["parts"][alike.parts[0]]
        sizes = {name: list(size) for name, size in part["stages"].items()}
        for name, width in (("ripped", alike.width), ("gauged", alike.gauged), ("crosscut", alike.gauged)):
            sizes[name][:2] = [str(alike.length.mm), str(width.mm)]
        more = {"pieces": part["pieces"] * count // part["count"]} if alike.panel else {}
        parts.append({**part, "stages": sizes, "count": count, "again": True, **more})
    return {**record, "spec": {**record["spec"], "quantity": 1}, "parts": parts, "laid": []}


def strips_again(wanted: Sequence[tuple[Alike, int]], shop: Shop) -> tuple[Section, ...]:
    """Strips for so many of each, longest first as ``planner.cutting.lumber`` lays them: ends trimmed, the grip kept.

    The figure is the wood in the rough, in mm³: each strip's length × its ripped width and a kerf × its milled
    thickness and what milling takes. Raises CuttingError for a part longer than the shop rips by now.
    """
    by_section: dict[tuple[str, Length, Length, Length], dict[Length, int]] = defaultdict(lambda: defaultdict(int))
    whole: dict[tuple[str, Length, Length, Length], list[Strip]] = defaultdict(list)
    for alike, count in wanted:
        key = (alike.wood, alike.width, alike.gauged, alike.thickness)
        if count and alike.panel:
            needed = max(alike.length + shop.rough_end_trim * 2, shop.shortest_machined)
            whole[key].append(Strip(alike.width, ((alike.length, 1),), needed, count))
        elif count:
            if alike.length + shop.crosscut_kerf > usable_length(shop):
                raise CuttingError(
                    f"The {alike.name} is {shop.says(alike.length)} long, more than a rough length of "
                    f"{shop.says(shop.longest_rip)} gives.",
                    mend="Rip longer lengths in the workshop’s safe limits.",
                    field="longest_rip",
                )
            by_section[key][alike.length] += count
    found = []
    for key in dict.fromkeys([*by_section, *whole]):
        wood, width, gauged, thickness = key
        laid = laid_in_strips(width, thickness, by_section[key], shop).strips if key in by_section else ()
        strips = (*laid, *whole.get(key, ()))
        found.append(Section(wood, width, gauged, thickness, strips, _rough(strips, width, thickness, shop)))
    return tuple(found)


def _rough(strips: Sequence[Strip], width: Length, thickness: Length, shop: Shop) -> Figure:
    across, thick = width + shop.rip_kerf, thickness + shop.milling
    volume = sum((volume_mm3(strip.needed, across, thick) * strip.count for strip in strips), Fraction(0))
    metres = sum((strip.needed.mm * strip.count for strip in strips), Fraction(0)) / 1000
    terms = (
        Term("Strips, ends trimmed and the grip kept", Figure(metres, "m", "length of each, added up", "")),
        Term("Ripped width and a kerf", Figure(across, "mm", "the strip as it is ripped + what the blade takes")),
        Term("In the rough", Figure(thick, "mm", "milled thickness + what milling takes")),
    )
    return Figure(board_feet(volume), "bf", "length × width × thickness of the strips", "", terms)


def worth_of(section: Section, price: Decimal, per: str, decimals: int) -> Figure:
    """What a section's wood costs at the plan's price for a board foot ("bf") or a cubic metre ("m3")."""
    feet = Fraction(section.figure.value)  # type: ignore[arg-type]
    amount = feet if per == "bf" else feet * board_feet_of_m3() ** -1
    cost = round_half_up(amount * Fraction(price), decimals)
    each = "a board foot" if per == "bf" else "a cubic metre"
    terms = (
        Term("Wood in the rough", section.figure),
        Term(f"Price of {each}", Figure(price, "money", "as the plan was reckoned with", "the kept plan")),
    )
    return Figure(cost, "money", f"wood in the rough × price of {each}", "", terms)


def board_feet_of_m3() -> Fraction:
    return board_feet(Fraction(_MM3_PER_M3))
