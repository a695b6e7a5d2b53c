"""Square codes for a camera, as a drawing: one path of all dark squares, with the quiet white around them."""

from __future__ import annotations

from itertools import groupby

import segno

# White squares around a code, as its standard asks (ISO/IEC 18004).
QUIET = 4


def code_matrix(text: str) -> list[list[bool]]:
    """The dark squares of the code for ``text``, without the white around; of level M, read though 15 % be lost."""
    return [[bool(cell) for cell in row] for row in segno.make(text, error="m", boost_error=False, micro=False).matrix]


def squares_across(text: str) -> int:
    """How many squares the code of ``text`` is wide, the white around it counted."""
    return len(code_matrix(text)) + 2 * QUIET


def code_svg(text: str, says: str) -> str:
    """The code as SVG; ``says`` is what is read aloud in its place, plain words of ours."""
    matrix = code_matrix(text)
    path = []
    for y, row in enumerate(matrix):
        x = 0
        for dark, run in groupby(row):
            length = len(list(run))
            if dark:
                path.append(f"M{x + QUIET} {y + QUIET}h{length}v1h-{length}z")
            x += length
    side = len(matrix) + 2 * QUIET
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" role="img" aria-label="{says}">'
        f'<title>{says}</title><path fill="#000" d="{"".join(path)}"/></svg>'
    )
