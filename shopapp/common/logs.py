"""What is written in the shop's log: never the token of a private link."""

from __future__ import annotations

import logging
import re

# Below this address lies what private links open; what follows it is the token.
ROOT = "/offer/"
_TOKEN = re.compile(rf"({re.escape(ROOT)}|{re.escape(ROOT).replace('/', '%2F')})[^\s/?\"'<>]+", re.IGNORECASE)


def without_tokens(text: str) -> str:
    """
    >>> without_tokens("Not Found: /offer/3qX-8_a/quote.pdf")
    'Not Found: /offer/…/quote.pdf'
    """
    return _TOKEN.sub(r"\1…", text)


class TokensLeftOut(logging.Formatter):
    """The framework names the address of every page that is not found or breaks; a link that was revoked or is
    mistyped would stand in the log nearly whole."""

    def format(self, record: logging.LogRecord) -> str:
        return without_tokens(super().format(record))
