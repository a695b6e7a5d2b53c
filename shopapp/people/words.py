"""How what is written of people is made alike, so that it is found however it is typed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

# Letters that are no plain letter with a mark, and are typed as plain ones all the same.
_PLAIN = str.maketrans({"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "ł": "l", "ı": "i"})
_NUMBER = re.compile(r"[\d\s()./+-]*\d[\d\s()./+-]*")


def folded(text: str) -> str:
    """``text`` in small plain letters, blanks made single: "Zoë  O’Hara" and "zoe o'hara" are the same."""
    apart = unicodedata.normalize("NFKD", text.casefold().translate(_PLAIN))
    plain = "".join(letter for letter in apart if not unicodedata.combining(letter))
    return " ".join(plain.translate({0x2019: "'", 0x2018: "'", 0x2010: "-", 0x2011: "-"}).split())


def folded_book(name: str, ways: Iterable[str], address: str, notes: str) -> str:
    """All that is written of a person, for the search; the digits of a number stand once more without gaps."""
    ways = list(ways)
    digits = ["".join(filter(str.isdigit, way)) for way in ways if _NUMBER.fullmatch(way.strip())]
    return "\n".join(filter(None, map(folded, [name, *ways, *digits, address, notes])))


def searched(asked: str) -> list[str]:
    """The words somebody looks for, folded; each has to stand somewhere."""
    words = folded(asked)
    if _NUMBER.fullmatch(words) and len(joined := "".join(filter(str.isdigit, words))) > 3:
        return [joined]
    return words.split()[:12]
