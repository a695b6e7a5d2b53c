"""A delivery typed press by press, as a phone in the yard sends it."""

from __future__ import annotations

import re
import secrets
from html import unescape

from django.urls import reverse


def typed_board(**changes) -> dict[str, str]:
    """A board of 5/4 by 150 by 2000 mm at 12.00 a board foot."""
    return {
        "wood": "walnut-black",
        "thickness": "5/4",
        "width": "150",
        "length": "2000",
        "count": "1",
        "price": "12",
        "per": "bf",
        **changes,
    }


class Buying:
    """What travels between two presses, taken from the page each answer brings."""

    def __init__(self, client, supplier, **facts) -> None:
        self.client = client
        self.facts = {"supplier": str(supplier.pk), "on": "2026-03-02", "carriage": "0", **facts}
        self.hidden = {"form_key": secrets.token_urlsafe(24), "lines": "[]", "seen": ""}
        self.board = typed_board()

    def press(self, do: str, **board):
        self.board |= board
        typed = {**self.facts, **self.hidden, **{k: v for k, v in self.board.items() if v is not None}, "do": do}
        answer = self.client.post(reverse("lumber:buy"), typed)
        if answer.status_code != 302:
            self.take_up(answer.content.decode())
        return answer

    def take_up(self, body: str) -> None:
        for name in self.hidden:
            self.hidden[name] = unescape(re.search(rf'name="{name}" value="([^"]*)"', body)[1])
