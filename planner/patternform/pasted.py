"""Grids pasted from a spreadsheet or a text editor, and our own rows of runs: marks in cells, not yet woods."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from planner.pattern import BACKGROUND_WORD, LARGEST_SIDE, MOST_WOODS, Pattern, PatternError

MOST_LETTERS = 1_000_000
# A legend asks for each mark by itself.
MOST_MARKS = 60
LONGEST_MARK = 60
# What stands for background as long as nobody says otherwise.
BACKGROUND_MARKS = frozenset({"", " ", BACKGROUND_WORD, ".", "·", "_", "0"})
KINDS = ("runs", "tabs", "commas", "semicolons", "blanks", "letters")
_RUNS = re.compile(r"\s*[0-9]{1,3}\s+[^\s,]+\s*(,\s*[0-9]{1,3}\s+[^\s,]+\s*)*")
_RUN = re.compile(r"\s*([0-9]{1,3})\s+([^\s,]+)\s*")


@dataclass(frozen=True, slots=True)
class Pasted:
    """``rows`` of cells, each a mark as it was written; ``kind`` says how the text was read: one of KINDS."""

    kind: str
    rows: tuple[tuple[str, ...], ...]

    @property
    def marks(self) -> dict[str, int]:
        """How many cells each mark fills, in the order they first appear."""
        counts: dict[str, int] = {}
        for row in self.rows:
            for mark in row:
                counts[mark] = counts.get(mark, 0) + 1
        return counts

    def pattern(self, meaning: Mapping[str, str | None]) -> Pattern:
        """With each mark as the wood it stands for, None for background. Every mark has its meaning."""
        return Pattern.of([[meaning[mark] for mark in row] for row in self.rows])


def read_pasted(text: str, kind: str = "") -> Pasted:
    """What was pasted, as rows of marks; ``kind``, one of KINDS, says how to read it, else it is told by its looks.

    Rows of runs (``2 -, 3 walnut-black``) are told by the lines being such; else cells are divided by tabs, commas,
    semicolons or blanks, whichever there are; else every letter is a cell. Blanks may divide cells or be cells, which
    nobody can tell from looking at a few of them: hence ``kind``. Raises PatternError naming the line.

    >>> read_pasted("a\\tb\\n\\tb").rows
    (('a', 'b'), ('', 'b'))
    >>> read_pasted("..##").kind, read_pasted("2 -, 1 beech").rows
    ('letters', (('-', '-', 'beech'),))
    """
    if len(text) > MOST_LETTERS:
        raise PatternError("The text is longer than a megabyte.", mend="No pattern is as large; paste its rows alone.")
    lines = text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    # What stands before the first row and after the last one is no row; within the text an empty line may be one.
    while lines and not lines[0].strip():
        lines.pop(0)
    while lines and not lines[-1].strip():
        lines.pop()
    if not lines:
        raise PatternError("There is nothing in the text.", mend="Paste the rows of a grid.")
    if len(lines) > LARGEST_SIDE:
        raise PatternError(f"The text has {len(lines)} rows.", mend=f"The most is {LARGEST_SIDE}.")
    found = kind or _kind(lines)
    rows = [_cells(found, line, number) for number, line in enumerate(lines, start=1)]
    # An editor drops blanks at the end of a line and a spreadsheet may drop empty cells there.
    fill = {"tabs": "", "letters": " "}.get(found)
    if found == "letters" and not kind and not any(" " in row for row in rows):
        fill = None
    return _checked(found, rows, fill)


def _kind(lines: list[str]) -> str:
    written = [line for line in lines if line.strip()]
    if any("\t" in line for line in lines):
        return "tabs"
    if _are_runs(written):
        return "runs"
    for kind, sign in (("commas", ","), ("semicolons", ";")):
        if all(sign in line for line in written):
            return kind
    counts = {len(line.split()) for line in written}
    return "blanks" if len(counts) == 1 and counts != {1} and len(written) == len(lines) else "letters"


def _are_runs(lines: list[str]) -> bool:
    """Whether the text is rows of runs. Two columns of numbers divided by blanks are none, though each line could be
    a run: then nothing in it is a name."""
    first = sum(bool(_RUNS.fullmatch(line)) for line in lines)
    named = any(re.search(r"[0-9]\s+([a-z]|-\s*(,|$))", line, re.IGNORECASE) for line in lines)
    # With one line in ten misspelt it is still meant as rows of runs, and that line is told.
    return named and 10 * first >= 9 * len(lines)


_SIGNS = {"tabs": "\t", "commas": ",", "semicolons": ";"}


def _cells(kind: str, line: str, number: int) -> list[str]:
    if kind == "runs":
        cells: list[str] = []
        for part in line.split(","):
            match = _RUN.fullmatch(part)
            if match is None or int(match[1]) == 0:
                raise PatternError(
                    f"Line {number} cannot be read at “{part.strip()[:40]}”.",
                    mend="Write each run as a count and a wood, like “3 beech”, with “-” for background.",
                )
            cells += [match[2]] * int(match[1])
            _check_width(len(cells), number)
        return cells
    if kind == "letters":
        _check_width(len(line), number)
        return list(line)
    parts = line.split() if kind == "blanks" else line.split(_SIGNS[kind])
    _check_width(len(parts), number)
    return [part.strip().removeprefix('"').removesuffix('"').strip() for part in parts]


def _check_width(width: int, number: int) -> None:
    if width > LARGEST_SIDE:
        raise PatternError(f"Line {number} holds more than {LARGEST_SIDE} cells.", mend="Shorten that row.")


def _checked(kind: str, rows: list[list[str]], fill: str | None) -> Pasted:
    widest = max(len(row) for row in rows)
    for number, row in enumerate(rows, start=1):
        if fill is not None:
            row += [fill] * (widest - len(row))
        if len(row) != len(rows[0]):
            raise PatternError(
                f"Line {number} has {len(row)} cells where line 1 has {len(rows[0])}.", mend="Give every row as many."
            )
    found = Pasted(kind, tuple(tuple(row) for row in rows))
    marks = found.marks
    long = next((mark for mark in marks if len(mark) > LONGEST_MARK), None)
    if long is not None:
        raise PatternError(
            f"“{long[:30]}…” is too long for the mark of a cell.",
            mend=f"Use marks of at most {LONGEST_MARK} letters, divided by tabs, commas or blanks.",
        )
    most = MOST_WOODS if kind == "runs" else MOST_MARKS
    if len(marks) > most:
        raise PatternError(
            f"The text has {len(marks)} different marks.", mend=f"The most is {most}; paste one grid by itself."
        )
    return found
