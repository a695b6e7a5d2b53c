"""What this shop cannot cut from these pieces, in a sentence that names the part, the limit and the nearest mend.

The planner's own checks (``planner.cutting.plan.limits``) look at whole units; these come before them, speak of the
shop's settings by their names, of woods by the maker's own, and of lengths in the shop's unit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Any

from planner.build import ACROSS, ALONG, along_of, kind_words
from planner.cutting.fromshop.parts import Cut
from planner.cutting.fromshop.pieces import Piece, Wishes, yields_of
from planner.cutting.plan import CutPlanError
from planner.measures import ZERO, Length
from planner.shop import Shop

BORDERS = [kind_words(ACROSS, along) for along in ALONG]


@dataclass(frozen=True, slots=True)
class Way:
    """A part as it is sawn: the width it is ripped to, and the thickness its rough length is milled to."""

    words: str
    ripped: Length
    milled: Length


def check_all(
    cuts: Sequence[Cut], pieces: Sequence[Piece], shop: Shop, wishes: Wishes, record: Mapping[str, Any]
) -> None:
    """Raises CutPlanError for the first thing that cannot be; ``field`` is a setting's name, or "stock", "parts" or
    "pair_borders"."""
    check_shop(shop)
    names = names_of(record)
    for cut in cuts:
        wood = names.get(cut.wood, cut.wood)
        mine = [piece for piece in pieces if piece.wood == cut.wood]
        shade = wishes.shades.get(cut.wood, "")
        _check_blades(cut, wood, shop)
        _check_there(cut, wood, mine, shade)
        shaded = [piece for piece in mine if not shade or piece.shade == shade]
        troubles = [_trouble(cut, way, wood, shaded, shop, record) for way in ways_of(cut, wishes)]
        if None not in troubles:
            raise next(trouble for trouble in troubles if trouble is not None)


def check_shop(shop: Shop) -> None:
    """That the shop's own settings leave anything to cut at all."""
    for name, kerf in (("crosscut", shop.crosscut_kerf), ("rip", shop.rip_kerf)):
        if kerf <= ZERO:
            raise CutPlanError(
                f"The {name} kerf is {shop.says(kerf)}, and every blade takes something.",
                mend="Measure it in a scrap and write it into the workshop's saw settings.",
                field=f"{name}_kerf",
            )
    if shop.rough_step <= ZERO:
        raise CutPlanError(
            f"Rough lengths are measured in steps of {shop.says(shop.rough_step)}.",
            mend=f"Write a step a tape shows, like {shop.says(Shop().rough_step)}.",
            field="rough_step",
        )
    if shop.longest_rip < shop.shortest_machined:
        raise CutPlanError(
            f"The longest rough length ripped, {shop.says(shop.longest_rip)}, is shorter than the shortest that goes "
            f"through the machines, {shop.says(shop.shortest_machined)}.",
            mend="Set a longer one in the workshop's safe limits.",
            field="longest_rip",
        )
    if (held := lost_on_a_strip(shop)) >= shop.longest_rip:
        raise CutPlanError(
            f"Of a strip as long as the longest that is ripped, {shop.says(shop.longest_rip)}, the squared end takes "
            f"{shop.says(head_of(shop))} and the grip {shop.says(max(shop.grip, shop.snipe))}: nothing is left to cut.",
            mend=f"Rip lengths of more than {shop.says(held)} if your saw can hold them, or hold the strip with a "
            "hold-down on the sled and set a shorter grip.",
            field="grip",
        )


def head_of(shop: Shop) -> Length:
    """Lost at the front of a strip before its first part: the snipe, and the cut that takes it off."""
    return shop.snipe + shop.crosscut_kerf if shop.snipe else ZERO


def lost_on_a_strip(shop: Shop) -> Length:
    """What a strip loses at both ends, whatever is cut from it."""
    return head_of(shop) + max(shop.grip, shop.snipe)


def rough_for(length: Length, shop: Shop) -> Length:
    """The shortest rough length, in the steps it is measured in, that gives a part of ``length``."""
    need = max(lost_on_a_strip(shop) + length + _behind(shop), shop.shortest_machined)
    return shop.rough_step * Fraction(ceil(need / shop.rough_step))


def longest_part(rough: Length, shop: Shop) -> Length:
    """The longest part a rough length of at most ``rough`` gives; nought or less where it gives none."""
    in_steps = shop.rough_step * Fraction(int(rough / shop.rough_step))
    return in_steps - lost_on_a_strip(shop) - _behind(shop)


def _behind(shop: Shop) -> Length:
    """The cut behind the last part, which ends the strip itself where nothing is held."""
    return shop.crosscut_kerf if max(shop.grip, shop.snipe) else ZERO


def clear_of(piece: Piece, shop: Shop) -> Length:
    """The longest stretch of a piece with nothing bad in it, its ends trimmed."""
    at, end, most = shop.check_trim, piece.length - shop.check_trim, ZERO
    for begin, stop in sorted(piece.bad, key=lambda stretch: stretch[0].mm):
        most = max(most, min(begin, end) - at)
        at = max(at, stop)
    return max(most, end - at)


def across_of(piece: Piece, shop: Shop) -> Length:
    return piece.width - shop.rough_edge_trim


def ways_of(cut: Cut, wishes: Wishes) -> list[Way]:
    face = Way("", cut.ripped, cut.thickness)
    edge = Way(" turned on edge", cut.thickness + cut.over, cut.width)
    return {"edge": [edge], "either": [face, edge]}.get(wishes.ways.get(cut.wood, "face"), [face])


def names_of(record: Mapping[str, Any]) -> dict[str, str]:
    """The woods of a record by the names the maker has for them."""
    return {line["wood"]: line["name"] for line in record.get("woods", ())}


def _check_blades(cut: Cut, wood: str, shop: Shop) -> None:
    shortest = min(cut.pieces, default=cut.length)
    if shortest <= shop.crosscut_kerf:
        raise CutPlanError(
            f"The {cut.name} of {wood} is {shop.says(shortest)} long, no more than the "
            f"{shop.says(shop.crosscut_kerf)} the crosscut blade takes.",
            mend="Choose a wider pitch, or a thinner blade and its kerf in the workshop's saw settings.",
            field="crosscut_kerf",
        )
    if cut.ripped <= shop.rip_kerf:
        raise CutPlanError(
            f"The {cut.name} of {wood} is ripped {shop.says(cut.ripped)} wide, no more than the "
            f"{shop.says(shop.rip_kerf)} the rip blade takes.",
            mend="Choose a wider pitch, or a thinner blade and its kerf in the workshop's saw settings.",
            field="rip_kerf",
        )


def _check_there(cut: Cut, wood: str, mine: Sequence[Piece], shade: str) -> None:
    if not mine:
        wanted = cut.count + cut.spares
        raise CutPlanError(
            f"There is no {wood} on the rack that is free, and "
            + (
                f"{wanted} pieces are wanted: the {cut.name} first of all."
                if wanted != 1
                else f"a {cut.name} is wanted."
            ),
            mend=f"Buy {wood}, free a piece that is promised, or choose another wood.",
            field="stock",
        )
    if shade and not any(piece.shade == shade for piece in mine):
        others = sorted({f"“{piece.shade}”" for piece in mine if piece.shade})
        raise CutPlanError(
            f"No {wood} on the rack is of the shade “{shade}”.",
            mend=f"Ask for {' or '.join(others)} instead." if others else "Leave the shade open.",
            field="shades",
        )


def _trouble(
    cut: Cut, way: Way, wood: str, mine: Sequence[Piece], shop: Shop, record: Mapping[str, Any]
) -> CutPlanError | None:
    """Why no piece gives the part this way, or None."""
    if (unsafe := _unsafe(cut, way, wood, shop)) is not None:
        return unsafe
    its = f"The {cut.name} of {wood}{way.words}"
    thick = [piece for piece in mine if yields_of(piece, shop) >= way.milled]
    if not thick:
        best = max(mine, key=lambda piece: yields_of(piece, shop).mm)
        most = max(yields_of(best, shop), ZERO)
        return CutPlanError(
            f"{its} is milled to {shop.says(way.milled)}; the thickest piece on the rack, {best.mark} of "
            f"{shop.says(best.thickness)}, yields {shop.says(most)}.",
            mend=f"Use {wood} of {shop.says(way.milled + shop.milling)} or more in the rough, "
            + _smaller(way, way.milled - most, shop, across=cut.panel or bool(way.words)),
            field="stock",
        )
    wide = [piece for piece in thick if across_of(piece, shop) >= way.ripped]
    if not wide:
        best = max(thick, key=lambda piece: piece.width.mm)
        return CutPlanError(
            f"{its} is ripped {shop.says(way.ripped)} wide; the widest piece on the rack that is thick enough, "
            f"{best.mark} of {shop.says(best.width)}, gives {shop.says(max(across_of(best, shop), ZERO))} once its "
            "edges are straight.",
            mend=f"Use {wood} {shop.says(way.ripped + shop.rough_edge_trim)} wide or more, "
            + (
                "or build the board as runs, no rows made as one."
                if cut.deep > 1
                else _smaller(way, way.ripped - across_of(best, shop), shop, across=cut.panel or not way.words)
            ),
            field="stock",
        )
    return _too_long(cut, its, wood, wide, shop, record)


def _smaller(way: Way, by: Length, shop: Shop, *, across: bool) -> str:
    """The board made smaller ``by`` a length: across its rows, or in its thickness. What is turned on edge has its
    width where others have their thickness."""
    smaller = (
        f"choose a pitch or border {shop.says(by)} narrower" if across else f"make the board {shop.says(by)} thinner"
    )
    return f"rip it face up, or {smaller}." if way.words else f"or {smaller}."


def _unsafe(cut: Cut, way: Way, wood: str, shop: Shop) -> CutPlanError | None:
    if way.ripped < shop.narrowest_strip:
        return CutPlanError(
            f"The {cut.name} of {wood}{way.words} is ripped {shop.says(way.ripped)} wide; this shop rips nothing "
            f"narrower than {shop.says(shop.narrowest_strip)}, for it could not be held safely.",
            mend="Choose a wider pitch or border"
            + (", or rip this wood face up." if way.words else ", or saw this wood turned on edge."),
            field="narrowest_strip",
        )
    if way.milled < shop.thinnest_planed:
        return CutPlanError(
            f"The {cut.name} of {wood}{way.words} is milled to {shop.says(way.milled)}; this shop planes nothing "
            f"thinner than {shop.says(shop.thinnest_planed)}.",
            mend="Choose a wider pitch, or rip this wood face up." if way.words else "Make the board thicker.",
            field="thinnest_planed",
        )
    return None


def _too_long(
    cut: Cut, its: str, wood: str, wide: Sequence[Piece], shop: Shop, record: Mapping[str, Any]
) -> CutPlanError | None:
    need = rough_for(cut.length, shop)
    field = "pair_borders" if cut.pieces else "stock"
    if need > shop.longest_rip:
        most = longest_part(shop.longest_rip, shop)
        return CutPlanError(
            f"{its} is {shop.says(cut.length)} long and asks for a rough length of {shop.says(need)}, its squared end "
            f"and the grip included; this shop rips no more than {shop.says(shop.longest_rip)}.",
            mend=_instead(cut, most, shop, record)
            + f" or rip lengths of {shop.says(need)} if your saw and outfeed can hold them.",
            field=field if cut.pieces else "longest_rip",
        )
    best = max(wide, key=lambda piece: clear_of(piece, shop).mm)
    there = max(clear_of(best, shop), ZERO)
    if need > there:
        gives = "gives" if not best.bad else "has a longest sound stretch of"
        return CutPlanError(
            f"{its} is {shop.says(cut.length)} long and asks for a rough length of {shop.says(need)}, its squared end "
            f"and the grip included; the longest piece on the rack that is thick and wide enough, {best.mark} of "
            f"{shop.says(best.length)}, {gives} {shop.says(there)} once its ends are trimmed.",
            mend=_instead(cut, longest_part(there, shop), shop, record, there)
            + f" or buy {wood} {shop.says(need + shop.check_trim * 2)} long or more."
            + _for_the_grip(shop, there),
            field=field,
        )
    return None


def _for_the_grip(shop: Shop, there: Length) -> str:
    """What is said besides where the grip alone takes more than half of the longest piece."""
    if shop.grip * 2 <= there:
        return ""
    return (
        f" Of that piece the grip alone takes {shop.says(shop.grip)}: with a hold-down on the sled, a shorter one may "
        "do, if the saw’s manual agrees."
    )


def _instead(cut: Cut, most: Length, shop: Shop, record: Mapping[str, Any], there: Length = ZERO) -> str:
    """What else would do, up to the comma before the last way out. ``there`` is the longest rough length to be had."""
    if cut.panel and there:
        if there < shop.shortest_machined:
            return "Use longer pieces,"
        return f"Rip no longer than {shop.says(there)} (the workshop's safe limits), so that panels are made shorter,"
    if cut.pieces:
        return "Do not ask for both borders of a row out of one strip,"
    ways = []
    if cut.name in BORDERS:
        turned = other_way(record)
        if turned is not None and turned <= most:
            run = "from side to side" if along_of(record) == "columns" else "upright"
            ways.append(f"Let the rows run {run}, so that no piece is longer than {shop.says(turned)},")
        ways.append(
            ("join" if ways else "Join")
            + " each border of two with a scarf (this plan does not reckon scarfs: it needs the two lengths as pieces "
            "of their own, and wood for the overlap),"
        )
    if most > ZERO:
        ways.append(f"{'make' if ways else 'Make'} it at most {shop.says(most)} long,")
    return " ".join(ways) if ways else "Choose a smaller pitch or border,"


def other_way(record: Mapping[str, Any]) -> Length | None:
    """How long a row of the same board is, and a border along it, when rows run the other way. None where the record
    does not tell, and where the borders along the rows would find no background there to hold on to."""
    spec = record.get("spec", {})
    if not {"pitch", "end_border", "border_wood"} <= spec.keys() or "blank" not in record or "laid" not in record:
        return None
    parts, rows = record["parts"], record["laid"]
    for row in (rows[0], rows[-1]):
        if not any(parts[n]["wood"] == spec["border_wood"] and parts[n]["tiles"] for n in row["parts"]):
            return None
    trims = Length.of_mm(record["blank"][0]) - Length.of_mm(record["finished"][0])
    return Length.of_mm(record["finished"][1]) + trims
