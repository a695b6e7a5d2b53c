"""Every set-up of the saw rebuilt from the text of a shop book: what is set to what, and each cut made at it.

Nothing of the house is imported here; what is said twice must agree.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from tests.support.book_pages import LENGTH, Misprint, Page, agree, section, whole

UNIT = "(?:mm|in)"


@dataclass(frozen=True)
class Cut:
    """Of one piece, ``count`` of them; ``gives`` what has a name of its own."""

    piece: str
    what: str
    count: int
    size: tuple[str, ...]
    gives: tuple[str, ...] = ()


@dataclass
class SetUp:
    """``settings`` are (what, set to); ``spacer`` is the stand-off, "" without one; ``spares`` of all its cuts."""

    number: int
    machine: str
    settings: list[tuple[str, str]]
    spacer: str
    exact: str
    pieces: int
    spares: int
    passes: int
    bundle: int
    held: str
    cuts: list[Cut] = field(default_factory=list)


@dataclass(frozen=True)
class Sawing:
    """``kerfs`` of crosscutting and ripping; ``tape`` says of every rough length where it begins on its board, where
    it ends, and how long it is. What a board is crosscut to has no other size."""

    kerfs: tuple[str, str]
    set_ups: list[SetUp]
    tape: dict[str, tuple[str, str, str]]


_KERFS = re.compile(rf"blades that take ({LENGTH}) {UNIT} crosscutting and ({LENGTH}) {UNIT} ripping")
_ROUGH = re.compile(rf"(\d+) +([A-Z]\S*) {{2,}}(.+?) {{2,}}(\d+) +({LENGTH}) {{2,}}.* min")
_CAPTION = re.compile(r"Cuts of set-up (\d+)")
_SETTING = re.compile(rf"(Fence|Fence, at least|Stop|Thickness|Pencil mark) ({LENGTH}) {UNIT}")
_FACTS = re.compile(
    rf"(?:(?P<machine>.+?)(?:; the spacer’s (?P<spacer>{LENGTH}) {UNIT} are in that)?(?:; exact (?P<exact>{LENGTH}) "
    rf"{UNIT})?; )?(?P<pieces>\d+) pieces?(?:, (?P<spares>\d+) of them spare)?; (?P<passes>\d+) pass(?:es)?"
    rf"(?:, up to (?P<bundle>\d+) side by side)?(?:; least held or fed (?P<held>{LENGTH}) {UNIT})?; about .*? min\."
)
_CUT = re.compile(
    rf"(?P<what>.+?) +(?:(?P<pieces>\d+) ?× ?(?P<each>\d+) ?= ?)?(?P<total>\d+)"
    rf"(?: \((?P<spares>\d+) spare\))? +(?P<size>{LENGTH} × {LENGTH} × {LENGTH})"
)


def sawing_of(pages: list[Page]) -> Sawing:
    lines = [line for page in section(pages, "Set-ups, in the order of the work") for line in page.columns]
    kerfs = _KERFS.search(" ".join(line.strip() for line in lines))
    if not kerfs:
        raise Misprint("It does not say what blades take.")
    set_ups = [*_rough(lines), *_others(lines)]
    agree("Numbers of set-ups", [one.number for one in set_ups], list(range(1, len(set_ups) + 1)))
    tape = dict(_tape(pages))
    agree(
        "Rough lengths", {name for one in set_ups for cut in one.cuts if not cut.size for name in cut.gives}, set(tape)
    )
    return Sawing((kerfs[1], kerfs[2]), set_ups, tape)


_TAPE = re.compile(
    rf"([A-Z]\S*-\d+) {{2,}}({LENGTH}) +({LENGTH}) +({LENGTH}) +(?:strips, below|back to the rack|left over)"
)


def _tape(pages: list[Page]) -> Iterator[tuple[str, tuple[str, str, str]]]:
    for page in pages:
        for line in page.columns:
            if match := _TAPE.fullmatch(line.strip()):
                yield match[1], (match[2], match[3], match[4])


def _rough(lines: Sequence[str]) -> Iterator[SetUp]:
    """Boards crosscut to rough lengths, a line a board; names that were broken go on in the next."""
    at = next((n for n, line in enumerate(lines) if line.strip().startswith("Boards in their order")), None)
    if at is None:
        return
    found: list[tuple[re.Match[str], list[str]]] = []
    for line in lines[at + 1 :]:
        bare = line.strip()
        if match := _ROUGH.fullmatch(bare):
            found.append((match, [match[3]]))
        elif bare.startswith("Done "):
            continue
        elif found and re.match(r" +[A-Z]+\d+-\d", line):
            found[-1][1].append(bare)
        else:
            break
    for match, names in found:
        gives = names_in(" ".join(names))
        cuts = [Cut(match[2], "", 1, (), (name,)) for name in gives]
        yield SetUp(whole(match[1]), "", [], "", "", len(gives), 0, whole(match[4]), 1, match[5], cuts)


def _others(lines: Sequence[str]) -> Iterator[SetUp]:
    captions = [n for n, line in enumerate(lines) if _CAPTION.fullmatch(line.strip())]
    for at in captions:
        number = whole(lines[at].strip().rpartition(" ")[2])
        head = next((n for n in range(at - 1, -1, -1) if re.match(rf" *{number} \S", lines[n])), None)
        if head is None:
            raise Misprint(f"Set-up {number} has no head.")
        said = " ".join(line.strip() for line in lines[head + 1 : at])
        facts = _FACTS.match(said)
        if not facts:
            raise Misprint(f"Set-up {number} says “{said[:120]}”.")
        one = SetUp(
            number,
            facts["machine"] or "",
            [(match[1], match[2]) for match in _SETTING.finditer(lines[head])],
            facts["spacer"] or "",
            facts["exact"] or "",
            whole(facts["pieces"]),
            int(facts["spares"] or 0),
            whole(facts["passes"]),
            int(facts["bundle"] or 1),
            facts["held"] or "",
        )
        entries = list(_entries(lines[at + 1 :]))
        one.cuts = [cut for entry in entries for cut in _cuts(entry)]
        agree(f"Pieces of set-up {number}", one.pieces, sum(cut.count for cut in one.cuts))
        agree(f"Spares of set-up {number}", one.spares, sum(int(entry["spares"] or 0) for entry in entries))
        yield one


def _entries(lines: Sequence[str]) -> Iterator[dict[str, str]]:
    """The lines of one table of cuts. What was broken goes on under its own column."""
    begins = what = 0
    entry: dict[str, str] = {}
    for line in lines:
        if line.strip().startswith("Done "):
            begins, what = line.index("From"), line.index("What")
            continue
        if len(line) - len(line.lstrip()) < begins - 1:
            break
        names, rest = line[:what].strip(), line[what:].strip()
        if match := _CUT.fullmatch(rest):
            if entry:
                yield entry
            entry = {"names": names, **match.groupdict()}
        elif entry:
            entry["names"] = f"{entry['names']} {names}".strip()
            entry["what"] = f"{entry['what']} {rest}".strip()
    if entry:
        yield entry


def _cuts(entry: dict[str, str]) -> Iterator[Cut]:
    names = names_in(entry["names"])
    total = whole(entry["total"])
    if entry["pieces"]:
        agree(f"Pieces of {entry['names']}", len(names), whole(entry["pieces"]))
        agree(f"Cuts of {entry['names']}", whole(entry["pieces"]) * whole(entry["each"]), total)
    if total % len(names):
        raise Misprint(f"{total} cuts do not come out of {entry['names']}.")
    what, _, gives = entry["what"].partition(": ")
    size = tuple(re.findall(LENGTH, entry["size"].replace(" × ", "×")))
    given = names_in(gives) if gives else ()
    each = total // len(names)
    at = 0
    for name in names:
        yield Cut(name, what, each, size, given[at : at + each] if len(names) > 1 else given)
        at += each


def names_in(text: str) -> tuple[str, ...]:
    """Every piece's own name of what was written in short.

    >>> names_in("W11-2.3 – 2.5, W11-3.1")
    ('W11-2.3', 'W11-2.4', 'W11-2.5', 'W11-3.1')
    """
    found = []
    for one in text.split(", "):
        match = re.fullmatch(r"(.+-\d+\.)(\d+) – \d+\.(\d+)", one)
        if match:
            if int(match[3]) <= int(match[2]):
                raise Misprint(f"From {one} backwards.")
            found += [f"{match[1]}{n}" for n in range(int(match[2]), int(match[3]) + 1)]
        else:
            found.append(one)
    return tuple(found)
