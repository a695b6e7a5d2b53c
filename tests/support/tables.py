"""A table brought press by press: first looked at, then booked."""

from __future__ import annotations

import re
import secrets
from html import unescape

from django.urls import reverse

from tests.support.shop import upload

PLAIN = "wood,thickness,width,length,price\nBlack walnut,5/4,150,2000,12\n"


class Bringing:
    """What travels between two presses, taken from the page each answer brings."""

    def __init__(self, client, supplier=None, **typed: str) -> None:
        self.client = client
        self.typed = {"unit": "mm", "per": "bf", "on": "2026-03-02", "carriage": "0"}
        self.typed |= {"supplier": str(supplier.pk) if supplier else "", "form_key": secrets.token_urlsafe(24), **typed}

    def press(self, do: str, table: str | None = None, *, file: bytes | None = None, **changes: str):
        self.typed |= changes
        if table is not None:
            self.typed["table"] = table
        sent = {**self.typed, "do": do}
        if file is not None:
            sent["file"] = upload(file, "boards.csv")
        answer = self.client.post(reverse("lumber:buy_table"), sent)
        if answer.status_code != 302:
            body = answer.content.decode()
            self.typed["seen"] = unescape(re.search(r'name="seen" value="([^"]*)"', body)[1])
            self.typed["table"] = answer.context["form"].data["table"] if answer.context["form"].is_bound else ""
        return answer

    def faults(self, table: str, **changes: str) -> list[str]:
        """What is said to be wrong with a table, as it stands at the top of the page."""
        answer = self.press("look", table, **changes)
        assert answer.status_code == 422, [b.lines for b in answer.context["bundles"]]
        return [line["message"] for line in answer.context["form"].summary()]

    def lines(self, table: str | None = None, **changes):
        """The lines of a table as they would be booked."""
        answer = self.press("look", table, **changes)
        assert answer.status_code == 200, answer.context["form"].summary()
        return [line for bundle in answer.context["bundles"] for line in bundle.lines]
