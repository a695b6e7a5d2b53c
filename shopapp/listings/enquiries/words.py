"""What somebody nobody knows wrote, made fit to be shown: the words stay, tricks with what cannot be seen do not."""

from __future__ import annotations

import re
import unicodedata

# What joins letters of some scripts and the parts of one picture sign; all else that is unseen only misleads.
_JOINS = "\u200c\u200d"
# More marks on one letter than any language has are there to run over the lines beside it.
_MOST_MARKS = 3
_LOADED = re.compile(r"([\u0300-\u036f\u0483-\u0489\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff\ufe20-\ufe2f])+")


def seen(text: str, *, lines: bool = False) -> str:
    """``text`` in Unicode's composed form without control signs, turned directions and signs of no width; on one line
    unless ``lines``.

    >>> seen("Wren\\u202e dlot \\x07\\r\\nBcc: a@example.org"), seen("a\\r\\n\\r\\n\\r\\n\\r\\nb", lines=True)
    ('Wren dlot Bcc: a@example.org', 'a\\n\\nb')
    """
    text = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n"))
    kept = "".join(sign if _may_stay(sign, lines) else " " if sign in "\t\n\v\f\u2028\u2029" else "" for sign in text)
    kept = _LOADED.sub(lambda marks: marks[0][:_MOST_MARKS], kept)
    if not lines:
        return " ".join(kept.split())
    return re.sub(r"\n{3,}", "\n\n", "\n".join(line.rstrip() for line in kept.split("\n"))).strip()


def _may_stay(sign: str, lines: bool) -> bool:
    if sign == "\n":
        return lines
    return sign in _JOINS or unicodedata.category(sign) not in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
