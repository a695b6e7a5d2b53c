"""A board rebuilt from the text of its shop book: rows and the picture they make, parts with their sizes, set-ups.

Whatever is said twice must agree, else the paper is a misprint. Nothing of the house is imported here.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tests.support.book_pages import LENGTH, Misprint, Page, agree, fields, section, whole


@dataclass(frozen=True)
class Laid:
    """One piece of a row, or strip of a panel; ``size`` as it is printed."""

    wood: str
    tiles: int
    border: bool
    size: str


@dataclass(frozen=True)
class Row:
    """``picture`` are the rows of the picture it is made of, from and to; (0, 0) for a border's own. ``like`` is the
    earlier row it says it is as, 0 for none."""

    pieces: tuple[Laid, ...]
    picture: tuple[int, int]
    like: int = 0


@dataclass(frozen=True)
class Panel:
    """``glued`` are (how many, how long)."""

    pieces: tuple[Laid, ...]
    glued: tuple[tuple[int, str], ...]
    width: str
    thickness: str
    slices: int
    sliced: str
    spare: int


@dataclass(frozen=True)
class Rows:
    """Of each of ``copies``. ``woods`` are the pieces and tiles of each wood that the paper says have to be laid."""

    copies: int
    rows: tuple[Row, ...]
    panels: tuple[Panel, ...]
    turned: tuple[tuple[int, bool], ...]
    upright: bool
    woods: dict[str, tuple[int, int]]

    @property
    def picture(self) -> list[list[str]]:
        """The wood of every cell as the board hangs, background by the wood it is of."""
        lanes = [
            [piece.wood for piece in row.pieces for _ in range(piece.tiles)]
            for row in self.rows
            for _ in range(row.picture[0], row.picture[1] + 1 if row.picture[0] else row.picture[0])
        ]
        if not self.upright:
            return lanes
        # Row 1 hangs at the left, every row begins at the bottom.
        return [[lane[len(lane) - 1 - r] for lane in lanes] for r in range(len(lanes[0]))]


_PIECE = re.compile(rf"(\d+) (?:(\d+)×)?(B(?:\+(\d+))?|\d+|–) (.+) \(({LENGTH})\)")
_ROW = re.compile(r"Rows? (\d+)(?: to (\d+), all alike)?(?:, as row (\d+))?")
_COUNTS = re.compile(
    r"(\d+) pieces?, (\d+) tiles?( in each)?; (\d+) pieces? so far"
    r"(?:; (?:rows|columns) (\d+) to (\d+) of the picture in one)?"
)
_PANEL = re.compile(r"Panel (\d+) (\d+) strips?, (\d+) tiles?")
_GLUE = re.compile(
    rf"Glue (.+) long, ({LENGTH}) (?:mm|in) wide, ({LENGTH}) (?:mm|in) thick\. (\d+) slices? ({LENGTH}) (?:mm|in) thick"
    r"(?:, (\d+) of them spare)?\."
)
_SLICE = re.compile(r"(\d+) panel (\d+)(, turned)?; (?:(?:row|column) (\d+)|border)")
_LONG = re.compile(r"Every row is (\d+) tiles? long")


def rows_of(pages: list[Page]) -> Rows:
    lines = [line for page in section(pages, "Rows to lay") for line in page.flowing]
    flat = " ".join(lines)
    upright = "Rows stand upright" in flat
    found = list(_blocks(lines))
    woods, many = _woods(lines), re.search(r"All (\d+) boards are laid alike", flat)
    copies = whole(many[1]) if many else 1
    if any(kind == "Panel" for kind, *_ in found):
        rows = _of_panels(found, copies, upright)
    else:
        long = _LONG.search(flat)
        if not long:
            raise Misprint("It does not say how long rows are.")
        rows = Rows(copies, tuple(_of_rows(found, whole(long[1]))), (), (), upright, {})
    counted: dict[str, list[int]] = {}
    for row in rows.rows:
        for piece in row.pieces:
            tally = counted.setdefault(piece.wood, [0, 0])
            tally[0] += 1
            tally[1] += piece.tiles
    agree("Laid of each wood", {wood: tuple(tally) for wood, tally in counted.items()}, woods)
    return replace(rows, woods=woods)


def _blocks(lines: Sequence[str]) -> Iterator[tuple[str, re.Match[str] | None, str, list[str]]]:
    """(kind, its heading, what is said under it, its lines of pieces) of every row, panel, and list of slices."""
    heads: list[tuple[int, str, re.Match[str] | None]] = []
    for at, line in enumerate(lines):
        if match := _ROW.fullmatch(line):
            heads.append((at, "Row", match))
        elif match := _PANEL.fullmatch(line):
            heads.append((at, "Panel", match))
        elif line in ("Rows of each board", "Rows of the board"):
            heads.append((at, "Slices", None))
        elif line == "Laid of each wood":
            heads.append((at, "Woods", None))
    for (at, kind, match), (end, *_) in zip(heads, [*heads[1:], (len(lines), "", None)], strict=True):
        said, pieces = [], []
        wanted = _SLICE if kind == "Slices" else _PIECE
        for line in _joined(lines[at + 1 : end]):
            (pieces if wanted.fullmatch(line) else said).append(line)
        yield kind, match, " ".join(said), pieces


def _joined(lines: Sequence[str]) -> Iterator[str]:
    """A piece whose size was broken off its name is one line again."""
    broken = ""
    for line in lines:
        if broken and re.fullmatch(rf"\({LENGTH}\)", line):
            yield f"{broken} {line}"
            broken = ""
            continue
        if broken:
            yield broken
        broken = line
    if broken:
        yield broken


def _pieces(lines: Sequence[str]) -> tuple[Laid, ...]:
    found: list[Laid] = []
    for line in lines:
        match = _PIECE.fullmatch(line)
        assert match
        agree(f"Place of “{line}”", len(found) + 1, whole(match[1]))
        border, many = match[3].startswith("B"), whole(match[2] or "1")
        if match[2] and many < 2:
            raise Misprint(f"“{line}” is of {many}.")
        tiles = int(match[4] or 0) if border else 0 if match[3] == "–" else whole(match[3])
        found += [Laid(match[5], tiles, border, match[6])] * many
    return tuple(found)


def _of_rows(found, long: int) -> Iterator[Row]:
    number, so_far, picture = 0, 0, 0
    heard: dict[int, tuple[Laid, ...]] = {}
    for kind, head, said, lines in found:
        if kind != "Row":
            continue
        first, last = whole(head[1]), whole(head[2] or head[1])
        agree("Row number", number + 1, first)
        pieces = _pieces(lines)
        counts = _COUNTS.fullmatch(said)
        if not counts:
            raise Misprint(f"Row {first} says “{said}”.")
        agree(f"Pieces of row {first}", len(pieces), whole(counts[1]))
        agree(f"Tiles of row {first}", sum(piece.tiles for piece in pieces), whole(counts[2]), long)
        agree(f"Whether there are several like row {first}", bool(counts[3]), last > first)
        so_far += len(pieces) * (last - first + 1)
        agree(f"Pieces up to row {last}", so_far, whole(counts[4]))
        if head[3]:
            agree(f"Row {first} as row {head[3]}", heard.get(whole(head[3])), pieces)
        deep = 1
        if counts[5]:
            agree(f"First row of the picture in row {first}", picture + 1, whole(counts[5]))
            deep = whole(counts[6]) - picture
            if deep < 2:
                raise Misprint(f"Row {first} is {deep} deep.")
        for number in range(first, last + 1):
            heard[number] = pieces
            yield Row(pieces, (picture + 1, picture + deep), int(head[3] or 0))
            picture += deep


def _of_panels(found, copies: int, upright: bool) -> Rows:
    panels: list[Panel] = []
    rows, turned = [], []
    for kind, head, said, lines in found:
        if kind == "Panel":
            agree("Panel number", len(panels) + 1, whole(head[1]))
            pieces, glue = _pieces(lines), _GLUE.fullmatch(said)
            agree(f"Strips of panel {head[1]}", len(pieces), whole(head[2]))
            agree(f"Tiles of panel {head[1]}", sum(piece.tiles for piece in pieces), whole(head[3]))
            if not glue:
                raise Misprint(f"Panel {head[1]} says “{said}”.")
            glued = []
            for one in glue[1].split(" and "):
                many = re.fullmatch(rf"(\d+) panels? ({LENGTH}) (?:mm|in)(?: long)?", one)
                if not many:
                    raise Misprint(f"Panel {head[1]} is glued “{one}”.")
                glued.append((whole(many[1]), many[2]))
            panels.append(Panel(pieces, tuple(glued), glue[2], glue[3], whole(glue[4]), glue[5], int(glue[6] or 0)))
        if kind == "Slices":
            many = re.match(r"(\d+) slices?,", said)
            if not many:
                raise Misprint(f"Of slices it says “{said}”.")
            agree("Slices of a board", len(lines), whole(many[1]))
            for number, line in enumerate(lines, 1):
                match = _SLICE.fullmatch(line)
                assert match
                agree("Number of a slice", number, whole(match[1]))
                panel = whole(match[2])
                if not 1 <= panel <= len(panels):
                    raise Misprint(f"There is no panel {panel}.")
                pieces = panels[panel - 1].pieces
                turned.append((panel, bool(match[3])))
                of = int(match[4] or 0)
                rows.append(Row(pieces[::-1] if match[3] else pieces, (of, of)))
    order = [row.picture[0] for row in rows if row.picture[0]]
    agree("Rows of the picture in order", order, list(range(1, len(order) + 1)))
    return Rows(copies, tuple(rows), tuple(panels), tuple(turned), upright, {})


def _woods(lines: Sequence[str]) -> dict[str, tuple[int, int]]:
    at = next((n for n, line in enumerate(lines) if line == "Wood Pieces Tiles"), None)
    if at is None:
        raise Misprint("It does not say what has to be laid of each wood.")
    found = {}
    for line in lines[at + 1 :]:
        match = re.fullmatch(r"(.+) (\d+) (\d+)", line)
        if not match:
            break
        found[match[1]] = whole(match[2]), whole(match[3])
    every = found.pop("All", None)
    agree("All pieces and tiles", every, tuple(sum(one[n] for one in found.values()) for n in (0, 1)))
    return found


# --- parts ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Part:
    """``stages`` are length, width and thickness when it is ripped, gauged, crosscut, dressed and in the board."""

    wood: str
    name: str
    pieces: int
    stages: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class Parts:
    """Of all ``copies`` together. ``woods`` has for each the spares, strips and rough lengths beside its parts."""

    copies: int
    parts: tuple[Part, ...]
    woods: dict[str, tuple[int, int, int]]


_WOOD = re.compile(r"(.+?) {2,}(\d+) (?:and (\d+) spare, )?from (\d+) strips? of (\d+) rough lengths?")
_ALL = re.compile(r"All {2,}(\d+)(?: and (\d+) spare)?")
_SIZE = rf"({LENGTH}) × ({LENGTH}) × ({LENGTH})"
_GAP = " +"
_ROWS_PART = re.compile(rf"(.*?) {{2,}}(\d+){_GAP}" + _GAP.join([f"({LENGTH})"] * 4) + f"{_GAP}{_SIZE}")
_PANEL_PART = re.compile(
    rf"(.*?) {{2,}}(\d+){_GAP}" + _GAP.join([f"({LENGTH})"] * 4) + rf"{_GAP}({LENGTH}) × ({LENGTH}){_GAP}{_SIZE}"
)
_MILLED = re.compile(rf"Strips are milled ({LENGTH}) (?:mm|in) thick")


def parts_of(pages: list[Page]) -> Parts:
    found = section(pages, "Parts, and their size at every stage")
    flat = " ".join(line.strip() for page in found for line in page.columns)
    panels = "Strips of the panels" in flat
    milled = _MILLED.search(flat)
    parts: list[Part] = []
    woods: dict[str, tuple[int, int, int]] = {}
    told: dict[str, int] = {}
    wood, ended = "", False
    for line in _table(found):
        if match := _WOOD.fullmatch(line):
            wood = match[1]
            woods[wood] = int(match[3] or 0), whole(match[4]), whole(match[5])
            told[wood] = whole(match[2])
        elif match := _ALL.fullmatch(line):
            agree("All parts", sum(told.values()), whole(match[1]))
            agree("All spares", sum(one[0] for one in woods.values()), int(match[2] or 0))
            ended = True
        elif match := (_PANEL_PART if panels else _ROWS_PART).fullmatch(line):
            parts.append(_panel_part(wood, match) if panels else _row_part(wood, match, milled))
        elif len(fields(line)) == 1 and parts:
            # A name that was broken goes on.
            parts[-1] = replace(parts[-1], name=f"{parts[-1].name} {line}")
        else:
            raise Misprint(f"Among the parts: “{line}”")
    if not ended:
        raise Misprint("Parts are not counted up.")
    counted: Counter[str] = Counter()
    for part in parts:
        counted[part.wood] += part.pieces
    agree("Parts of each wood", dict(counted), told)
    many = re.search(r"for all (\d+) boards", flat)
    return Parts(whole(many[1]) if many else 1, tuple(parts), woods)


def _table(pages: Sequence[Page]) -> Iterator[str]:
    """The lines under the heads of the table, page by page."""
    begun = False
    for page in pages:
        for line in page.columns:
            if re.match(r" *(Part|Strip) {2,}", line):
                begun = True
            elif begun:
                yield line.strip()


def _row_part(wood: str, match: re.Match[str], milled: re.Match[str] | None) -> Part:
    if not milled:
        raise Misprint("It does not say how thick strips are milled.")
    name, pieces, ripped, gauged, long, dressed, *size = match.groups()
    thick = milled[1]
    stages = [(long, wide, thick) for wide in (ripped, gauged, gauged, dressed)]
    return Part(wood, name, whole(pieces), (*stages, tuple(size)))


def _panel_part(wood: str, match: re.Match[str]) -> Part:
    name, pieces, long, ripped, gauged, milled, dressed, flat, *size = match.groups()
    stages = [(long, wide, milled) for wide in (ripped, gauged, gauged)]
    return Part(wood, name, whole(pieces), (*stages, (long, dressed, flat), tuple(size)))
