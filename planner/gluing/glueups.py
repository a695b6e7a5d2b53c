"""From rows to a flat blank: rows in jigs, dressed, joined by levels, edges trued, borders, flattened, parts joined.

Side borders are glued in their rows, so nothing is fitted at a board's sides. Whatever a machine touches has cured
since it came out of the clamps for as long as the adhesive's sheet says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.build import BORDERS
from planner.gluing.bench import OneBoard, listed, row_said
from planner.gluing.glueboard import GlueRow
from planner.gluing.layout import Block, PartOfBoard
from planner.gluing.loading import Section, evenly, sections_of
from planner.gluing.shares import loading
from planner.gluing.wood import Laid
from planner.length import Length, decimals

CLAMPS_OFF = "clamps off"
PRESSED = "hold down before full pressure"


@dataclass(frozen=True, slots=True)
class Blank:
    """``flat`` are the last steps before the board is cut to size, of which it waits ``wait`` minutes; ``glued`` the
    last glue-ups, whose glue lines are sanded once they have cured."""

    flat: list[str]
    wait: int
    glued: list[str]


def glue_up(one: OneBoard, parts: Sequence[PartOfBoard], laid: Laid) -> Blank:
    """Everything from loading the first row to a blank that is flat."""
    board, adhesive = one.board, one.bench.adhesive
    flat: list[str] = []
    glued: list[str] = []
    for n, part in enumerate(parts):
        name = str(n + 1) if len(parts) > 1 else ""
        last, cures = _part(one, part, laid, name)
        lots = one.in_lots(
            "flatten",
            name,
            f"Flatten part {n + 1}" if len(parts) > 1 else "Flatten the blank",
            one.bench.minutes(
                "flatten",
                {op: count * (part.height / board.blank_height) for op, count in board.flattening.items()},
            ),
            after=last,
            wait=adhesive.machining if cures else 0,
            first=("end grain: by sander or router sled, never through a thickness planer",) if board.panels else (),
        )
        flat += lots[-1:] or last
        glued += last if cures else []
    if len(parts) > 1:
        return _joined_last(one, parts, flat)
    return Blank(flat, adhesive.machining if glued and flat == glued else 0, glued)


def _joined_last(one: OneBoard, parts: Sequence[PartOfBoard], flat: list[str]) -> Blank:
    """The flattened parts joined, as many at a time as the adhesive leaves time for."""
    bench = one.bench
    blocks = [(key, part.height.mm) for key, part in zip(flat, parts, strict=True)]
    level = 1
    while len(blocks) > 1:
        joined = []
        for n, group in enumerate(evenly(len(blocks), bench.rows_at_once), start=1):
            several = [blocks[i] for i in group]
            if len(several) == 1:
                joined += several
                continue
            height = sum((block for _, block in several), Fraction(0))
            words = "Join the halves" if len(parts) == 2 else f"Join {len(several)} parts of the board"
            key = one.add(
                "halves",
                f"{level}/{n}",
                words,
                bench.minutes("join", {"row_join": len(several) - 1}),
                hold=bench.adhesive.clamped,
                uses=pressed(one, Length(height), one.board.blank_length, words),
                first=("edges jointed and tried dry", "faces flush", *by_the_sheet(one), PRESSED),
                ends=CLAMPS_OFF,
                after=[key for key, _ in several],
                wait=bench.adhesive.machining if level > 1 else 0,
            )
            joined.append((key, height))
        blocks, level = joined, level + 1
    bench.draft.remarks.append(
        f"The blank is {bench.tools.says(one.board.blank_height)} wide and the shop flattens up to "
        f"{bench.tools.says(bench.shop.widest_flattened)}: it is made in {len(parts)} parts, each flattened, that are "
        "joined last."
    )
    return Blank([blocks[0][0]], bench.adhesive.machining, [blocks[0][0]])


def pressed(one: OneBoard, reach: Length, along: Length, words: str) -> list[tuple[str, int]]:
    """Clamps that reach across, all ``along`` the joint, and a place at the bench."""
    bench = one.bench
    many = bench.clamps_along(along.mm)
    clamps = bench.tools.clamps_for(reach, many, bench.shop.bench_places, words)
    return [*clamps, bench.tools.bench_for(words)]


def by_the_sheet(one: OneBoard) -> tuple[str, ...]:
    """What the adhesive's sheet asks of a glue-up, its lowest temperature in the degrees of the shop's unit."""
    adhesive = one.bench.adhesive
    hurry = (
        f"each joint closed {adhesive.open} min after spreading, all pressed {adhesive.assembly} min after the first"
    )
    lowest = adhesive.lowest_celsius
    if lowest is None:
        return (hurry,)
    said = f"{decimals(lowest * 9 / 5 + 32, 0)} °F" if one.bench.tools.unit == "in" else f"{decimals(lowest, 1)} °C"
    return (f"wood, glue and shop at {said} or more", hurry)


def _part(one: OneBoard, part: PartOfBoard, laid: Laid, name: str) -> tuple[list[str], bool]:
    """The part glued up with its borders: its last step, and whether that is a glue-up whose glue has to cure."""
    bench, within = one.bench, f"{name}/" if name else ""
    over = {row.number: _row(one, row, laid) for row in part.rows}
    joints = len(one.board.rows) - 1
    blocks: dict[tuple[int, ...], tuple[str, bool]] = {(number,): before for number, before in over.items()}
    for n, group in enumerate(part.groups if joints else (), start=1):
        numbers = tuple(row.number for row in group)
        key = one.add(
            "dress",
            f"{within}{n}",
            f"Dress the edges of {listed(numbers)}",
            bench.minutes("dress", {"row_join": Fraction(joints * len(group), len(one.board.rows))}),
            rows=numbers,
            first=(
                "glue scraped off",
                "by hand or sander: its grain stands on end"
                if one.board.panels
                else "face down, datum edge against the fence",
            ),
        )
        for number in numbers:
            before, glued = over[number]
            bench.draft.after(before, key, bench.adhesive.machining if glued else 0)
            blocks[number,] = (key, False)
    for level, joined in enumerate(part.levels, start=1):
        for n, block in enumerate(joined, start=1):
            blocks[block.numbers] = (_join(one, block, blocks, f"{within}{level}/{n}"), True)
    last, glued = blocks[tuple(row.number for row in part.rows)]
    if not part.borders:
        return [last], glued
    return [_borders(one, part, last, glued, laid, name)], True


def _row(one: OneBoard, row: GlueRow, laid: Laid) -> tuple[str, bool]:
    """A row in its jig, in parts where it cannot be loaded in time: its last step, and whether that is glued."""
    bench, before = one.bench, laid.rows[one.copy, row.number]
    if not row.joints:
        return before, False
    sections = sections_of(row.pieces, *loading(bench.times), bench.adhesive.assembly)
    parts = sum(not section.of for section in sections)
    if parts > 1:
        bench.draft.remarks.append(
            f"Rows that take longer to load than the adhesive's {bench.adhesive.assembly} min are glued in {parts} "
            "parts, which are joined."
        )
    keys: list[str] = []
    for n, section in enumerate(sections, start=1):
        if section.things == 1:
            # A piece alone needs no jig; it waits for the row's other parts.
            keys.append(before)
            continue
        name, words = _named(row, n, section, parts, len(sections))
        after = [keys[part] for part in section.of] or [before]
        keys.append(_load(one, row, name, words, section, list(dict.fromkeys(after))))
    return keys[-1], True


def _named(row: GlueRow, n: int, section: Section, parts: int, many: int) -> tuple[str, str]:
    said = row_said(row)
    if many == 1:
        return str(row.number), said[0].upper() + said[1:]
    if not section.of:
        return f"{row.number}/{n}", f"Part {n} of {parts} of {said}"
    words = f"Join the parts of {said}" if n == many else f"Join {section.things} parts of {said}"
    return f"{row.number}/join/{n - parts}", words


def _load(one: OneBoard, row: GlueRow, name: str, words: str, section: Section, after: Sequence[str]) -> str:
    """A section of a row in a jig."""
    bench = one.bench
    jig = bench.tools.jig_for(row.length_of(section.first, section.end), words)
    jigs = sum(pool.count for pool in bench.tools.jigs)
    clamps = bench.tools.clamps_for(row.width, bench.shop.row_clamps, jigs, words)
    datum = f"datum {bench.tools.says(row.datum)} from the left end" + ("" if row.datum_is_a_seam else ", inside a run")
    count = f"dry count: {section.things} {'parts' if section.of else 'pieces'}"
    return one.add(
        "row",
        name,
        words,
        bench.minutes("row", {"row_glue": 1, "joint": section.things - 1}),
        hold=bench.adhesive.clamped,
        uses=[jig, *clamps],
        rows=(row.number,),
        first=(count, *by_the_sheet(one), PRESSED),
        writes=("grain mark", f"row number {row.number}", datum, "face side"),
        ends=CLAMPS_OFF,
        after=after,
    )


def _join(one: OneBoard, block: Block, blocks: dict[tuple[int, ...], tuple[str, bool]], name: str) -> str:
    bench = one.bench
    words = f"Join {listed(block.numbers)}"
    return one.add(
        "join",
        name,
        words,
        bench.minutes("join", {"row_join": len(block.of) - 1}),
        hold=bench.adhesive.clamped,
        uses=pressed(one, block.height, one.board.blank_length, words),
        rows=block.numbers,
        first=(
            "laid dry in order, face up, datum lines in one",
            "edges clean and true, dressed anew if they have lain",
            *by_the_sheet(one),
            PRESSED,
        ),
        ends=CLAMPS_OFF,
        after=list(dict.fromkeys(blocks[part.numbers][0] for part in block.of)),
    )


def _borders(one: OneBoard, part: PartOfBoard, last: str, glued: bool, laid: Laid, name: str) -> str:
    """The field's edges trued and its borders on, so many a glue-up."""
    bench = one.bench
    key = one.add(
        "true",
        name,
        f"True the edges of the field{f' of part {name}' if name else ''}",
        bench.minutes("true", {"strip": sum(part.borders)}),
        after=[last],
        wait=bench.adhesive.machining if glued else 0,
    )
    bench.draft.after(laid.last_cut, key)
    both = BORDERS[one.board.along][1]
    one_side, other_side = both.removesuffix(" borders").split(" and ")
    height = Block(part.rows).height
    at_first = name in ("", "1")
    for n, many in enumerate(part.borders, start=1):
        height = height + part.border_width * many
        which = both if many == 2 else f"{one_side if at_first and n == 1 else other_side} border"
        words = f"Glue on the {which}"
        key = one.add(
            "border",
            f"{name}/{n}".removeprefix("/"),
            words,
            bench.minutes("border", {"strip": many}),
            hold=bench.adhesive.clamped,
            uses=pressed(one, height, one.board.blank_length, words),
            first=("tried dry under the clamps", *by_the_sheet(one), PRESSED),
            writes=("grain mark", "face side"),
            ends=CLAMPS_OFF,
            after=[key],
        )
    return key
