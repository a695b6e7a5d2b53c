"""The two vocabularies of the trade for machines and wood; texts are written in the first."""

from __future__ import annotations

import re

# As said west and east of the Atlantic (common practice, no source). What one calls a planer the other calls a
# thicknesser, so all words change at once.
PLANER_AND_THICKNESSER = {"jointer": "planer", "planer": "thicknesser", "lumber": "timber"}
_WORD = re.compile(r"\b(jointer|planer|lumber)(s?)\b", re.IGNORECASE)


def in_shop_words(text: str, vocabulary: str) -> str:
    """``text`` in the shop's words: "jointer" leaves it as it is, "planer" says planer, thicknesser and timber.

    >>> in_shop_words("Over the jointer or through the planer.", "planer")
    'Over the planer or through the thicknesser.'
    """
    if vocabulary != "planer":
        return text

    def other(match: re.Match[str]) -> str:
        word = PLANER_AND_THICKNESSER[match[1].lower()] + match[2]
        return word.capitalize() if match[1][0].isupper() else word

    return _WORD.sub(other, text)
