"""From rows to a flat blank: rows in jigs, dressed, joined by levels, edges trued, borders, flattened, parts joined.

Side borders are glued in their rows, so nothing is fitted at a board's sides. Whatever a machine touches has cured
since it came out of the clamps for as long as the adhesive's sheet says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.gluing.bench import OneBoard, listed
from planner.gluing.glueboard import GlueRow
from planner.gluing.layout import Block, PartOfBoard
from planner.gluing.loading import segments_of
from planner.gluing.wood import Laid
from planner.measures import Length

GLUE = ("glue_sheet", "glue_temperature")
AT_THE_PLANER = ("short_stock", "kickback", "dust")
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
    board, adhesive = one.board, one.bench.adhesive
    flat: list[str] = []
    glued: list[str] = []
    for n, part in enumerate(parts):
        name = f"{n + 1}/" if len(parts) > 1 else ""
        said = f" of part {n + 1}" if len(parts) > 1 else ""
        last, pressed = _part(one, part, laid, name, said)
        share = part.height / board.blank_height
        lots = one.in_lots(
            "flatten",
            name.removesuffix("/"),
            "flattened",
            f"Flatten part {n + 1}" if len(parts) > 1 else "Flatten the blank",
            one.bench.minutes("flatten", {"sand_dm2": board.faces_dm2 * share}),
            after=last,
            wait=adhesive.machining if pressed else 0,
            cautions=AT_THE_PLANER,
        )
        flat += lots[-1:] or last
        glued += last if pressed else []
    if len(parts) == 1:
        return Blank(flat, adhesive.machining if glued and flat == glued else 0, glued)
    return _joined_last(one, parts, flat)


def _joined_last(one: OneBoard, parts: Sequence[PartOfBoard], flat: list[str]) -> Blank:
    bench, lines = one.bench, len(parts) - 1
    height = Length(sum((part.height.mm for part in parts), Fraction(0)))
    words = "Join the halves" if lines == 1 else f"Join the {len(parts)} parts"
    key = one.add(
        "halves",
        "",
        "flattened",
        words,
        bench.minutes("join", {"row_join": lines}),
        hold=bench.adhesive.clamped,
        uses=_pressed(one, height, words),
        first=("both edges jointed and tried dry", "faces flush"),
        cautions=GLUE,
        ends=CLAMPS_OFF,
        after=flat,
    )
    bench.draft.remarks.append(
        f"The blank is {bench.tools.says(one.board.blank_height)} wide and the shop flattens up to "
        f"{bench.tools.says(bench.shop.widest_flattened)}: it is made in {len(parts)} parts that are joined last."
    )
    return Blank([key], bench.adhesive.machining, [key])


def _pressed(one: OneBoard, reach: Length, words: str) -> list[tuple[str, int]]:
    """Clamps along the blank and a place at the bench."""
    bench = one.bench
    many = bench.clamps_along(one.board.blank_length.mm)
    clamps = bench.tools.clamps_for(reach, many, bench.shop.bench_places, words)
    return [*clamps, bench.tools.bench_for(words)]


def _part(one: OneBoard, part: PartOfBoard, laid: Laid, name: str, said: str) -> tuple[list[str], bool]:
    """The part glued up with its borders: its last step, and whether that is a glue-up whose glue has to cure."""
    bench = one.bench
    over = {row.number: _row(one, row, laid) for row in part.rows}
    joints = len(one.board.rows) - 1
    blocks: dict[tuple[int, ...], tuple[str, bool]] = {}
    for n, group in enumerate(part.groups):
        numbers = [row.number for row in group]
        if not joints:
            blocks.update({(number,): over[number] for number in numbers})
            continue
        words = f"Dress the edges of {listed(numbers)}"
        key = one.add(
            "dress",
            f"{name}{n + 1}",
            "rows dressed",
            words,
            bench.minutes("dress", {"row_join": Fraction(joints * len(group), len(one.board.rows))}),
            rows=tuple(numbers),
            first=("glue scraped off", "datum edge against the fence, face down"),
            cautions=AT_THE_PLANER,
        )
        for number in numbers:
            before, glued = over[number]
            bench.draft.after(before, key, bench.adhesive.machining if glued else 0)
        blocks.update({(number,): (key, False) for number in numbers})
    for level, joined in enumerate(part.levels, start=1):
        for n, block in enumerate(joined, start=1):
            blocks[_of(block)] = (_join(one, block, blocks, f"{name}{level}/{n}"), True)
    last, glued = blocks[tuple(row.number for row in part.rows)]
    if not part.borders:
        return [last], glued
    return [_borders(one, part, last, glued, laid, name, said)], True


def _of(block: Block) -> tuple[int, ...]:
    return tuple(row.number for row in block.rows)


def _row(one: OneBoard, row: GlueRow, laid: Laid) -> tuple[str, bool]:
    """A row in its jig, in parts where it cannot be loaded in time: its last step, and whether that is glued."""
    bench, before = one.bench, laid.rows[one.copy, row.number]
    if not row.joints:
        return before, False
    fixed, a_joint = (
        sum((part for _, part in bench.minutes("row", {op: 1})), Fraction(0)) for op in ("row_glue", "joint")
    )
    segments = segments_of(row.joints, fixed, a_joint, bench.adhesive.assembly)
    if len(segments) == 1:
        joints = row.joints
        return _load(one, row, str(row.number), f"Row {row.number}", joints, row.length, [before]), True
    bench.draft.remarks.append(
        f"Rows of {row.pieces} pieces are not loaded within {bench.adhesive.assembly} min: they are glued in "
        f"{len(segments)} parts, which are joined."
    )
    keys = []
    for n, (pieces, length) in enumerate(zip(segments, row.lengths_of(segments), strict=True), start=1):
        words = f"Row {row.number}, part {n} of {len(segments)}"
        keys.append(_load(one, row, f"{row.number}/{n}", words, pieces - 1, length, [before]))
    words = f"Join the parts of row {row.number}"
    return _load(one, row, f"{row.number}/join", words, len(segments) - 1, row.length, keys), True


def _load(one: OneBoard, row: GlueRow, name: str, words: str, joints: int, length: Length, after: Sequence[str]) -> str:
    bench = one.bench
    if not joints:
        # A piece alone needs no jig; it waits for the row's other parts.
        return after[-1]
    jig = bench.tools.jig_for(length, words)
    clamps = bench.tools.clamps_for(
        row.width, bench.shop.row_clamps, max(1, sum(pool.count for pool in bench.tools.jigs)), words
    )
    datum = f"datum at {bench.tools.says(row.datum)} from the left end" + ("" if row.datum_is_a_seam else ", in a run")
    return one.add(
        "row",
        name,
        "rows glued",
        words,
        bench.minutes("row", {"row_glue": 1, "joint": joints}),
        hold=bench.adhesive.clamped,
        uses=[jig, *clamps],
        rows=(row.number,),
        first=(f"dry count: {row.pieces} pieces", PRESSED),
        writes=("grain mark", f"row number {row.number}", datum, "face side"),
        cautions=GLUE,
        ends=CLAMPS_OFF,
        after=after,
    )


def _join(one: OneBoard, block: Block, blocks: dict[tuple[int, ...], tuple[str, bool]], name: str) -> str:
    bench, lines = one.bench, len(block.of) - 1
    numbers = list(_of(block))
    words = f"Join {listed(numbers)}"
    return one.add(
        "join",
        name,
        "joined",
        words,
        bench.minutes("join", {"row_join": lines}),
        hold=bench.adhesive.clamped,
        uses=_pressed(one, block.height, words),
        rows=tuple(numbers),
        first=("laid dry in order, face up, datum seams in line", PRESSED),
        cautions=GLUE,
        ends=CLAMPS_OFF,
        after=list(dict.fromkeys(blocks[_of(part)][0] for part in block.of)),
    )


def _borders(one: OneBoard, part: PartOfBoard, last: str, glued: bool, laid: Laid, name: str, said: str) -> str:
    """The field's edges trued and its borders on, so many a glue-up."""
    bench, strips = one.bench, sum(part.borders)
    key = one.add(
        "true",
        name.removesuffix("/"),
        "field edges trued",
        f"True the edges of the field{said}",
        bench.minutes("true", {"strip": strips}),
        cautions=AT_THE_PLANER,
        after=[last],
        wait=bench.adhesive.machining if glued else 0,
    )
    bench.draft.after(laid.last_cut, key)
    height = Block(part.rows).height
    at_top = name in ("", "1/")
    for n, many in enumerate(part.borders, start=1):
        height = height + part.border_width * many
        which = "top and bottom borders" if many == 2 else ("top border" if at_top and n == 1 else "bottom border")
        words = f"Glue on the {which}"
        key = one.add(
            "border",
            f"{name}{n}",
            "top and bottom borders",
            words,
            bench.minutes("border", {"strip": many}),
            hold=bench.adhesive.clamped,
            uses=_pressed(one, height, words),
            first=("tried dry under the clamps", PRESSED),
            writes=("grain mark", "face side"),
            cautions=GLUE,
            ends=CLAMPS_OFF,
            after=[key],
        )
    return key
