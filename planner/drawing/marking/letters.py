"""How wide words come out, so that no two labels of a drawing lie on each other before anybody sees it."""

from __future__ import annotations

from functools import lru_cache

# Advance widths of Source Sans Pro Semibold in thousandths of the type size (read from the font's hmtx table; the
# regular weight is narrower letter by letter). What is not named here is taken as wide as an M.
_WIDTHS = {
    " ": 200, "(": 324, ")": 324, "+": 513, ",": 275, "-": 322, ".": 275, "/": 344, ":": 275, "×": 513, "·": 275,
    "–": 480, "A": 558, "B": 597, "C": 576, "D": 625, "E": 538, "F": 510, "G": 628, "H": 663, "I": 282, "J": 494,
    "K": 597, "L": 502, "M": 745, "N": 656, "O": 674, "P": 582, "Q": 674, "R": 592, "S": 545, "T": 546, "U": 655,
    "V": 536, "W": 800, "X": 541, "Y": 501, "Z": 540, "a": 516, "b": 563, "c": 462, "d": 564, "e": 507, "f": 317,
    "g": 520, "h": 558, "i": 262, "j": 263, "k": 522, "l": 271, "m": 843, "n": 560, "o": 549, "p": 564, "q": 564,
    "r": 373, "s": 431, "t": 361, "u": 556, "v": 495, "w": 748, "x": 481, "y": 495, "z": 443,
    **dict.fromkeys("0123456789", 513), "\u00a0": 200,
}  # fmt: skip
_M = 745
# Capitals and figures stand so high over the line, letters with tails hang so far under it.
OVER_LINE, UNDER_LINE = 0.7, 0.22


def wide(text: str, size: float) -> float:
    """The width of ``text`` set ``size`` large, in the units of ``size``; a little more than it is.

    >>> round(wide("14 × 19.9", 10), 1)
    38.3
    """
    return _thousandths(text) * size * 0.00102


# A drawing's words are measured many times over while room is looked for.
@lru_cache(1 << 14)
def _thousandths(text: str) -> int:
    return sum(_WIDTHS.get(letter, _M) for letter in text)


def wrapped(text: str, size: float, room: float) -> list[str]:
    """The text in lines no wider than ``room``, broken between words.

    >>> wrapped("Drawn to scale, the width twice as large.", 10, 130)
    ['Drawn to scale, the width', 'twice as large.']
    """
    lines: list[str] = []
    long = 0
    for word in text.split():
        more = _thousandths(word)
        if lines and (long + _WIDTHS[" "] + more) * size * 0.00102 <= room:
            lines[-1] = f"{lines[-1]} {word}"
            long += _WIDTHS[" "] + more
        else:
            lines.append(word)
            long = more
    return lines
