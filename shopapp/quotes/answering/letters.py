"""What stands in a letter to a customer: plain text, in the shop's words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.urls import reverse
from django.utils.dateformat import format as format_day

from shopapp.common.mail import NOT_SET_UP
from shopapp.common.models import Letter
from shopapp.common.templatetags.shop import money
from shopapp.quotes.figures import figures_of
from shopapp.quotes.models import Quote
from shopapp.workshop.models import Workshop

__all__ = ["NOT_SET_UP", "Written", "address", "day", "first_words", "written"]


@dataclass(frozen=True)
class Written:
    subject: str
    words: str


def address(root: str, token: str) -> str:
    """Where a link opens."""
    return root + reverse("offered:offer", args=[token])


def first_words(quote: Quote) -> str:
    """What a letter begins with until the maker writes something else."""
    return f"Hello {quote.for_whom},\n\nhere is the quote for “{quote.title}”, as a paper and as a page to answer on."


def written(letter: Letter, quote: Quote, shop: Workshop, link: str) -> Written:
    """The whole letter; the link, if there is one, stands on a line of its own, so that no mark after it is taken for
    part of it."""
    if letter.about == "answer":
        subject, parts = f"Your question about quote {quote.reference}: {quote.title}", [letter.words]
    else:
        subject, parts = f"Quote {quote.reference}: {quote.title}", [letter.words, _told(quote)]
    if link:
        parts += [
            "Look at it, ask, accept or decline here, on a phone as well as anywhere:\n\n" + link,
            f"The link opens until {day(quote.valid_until)}. Whoever has it can answer in your name, so keep it to "
            "yourself.",
        ]
    parts.append("\n".join(line for line in (shop.name, shop.address, shop.phone, shop.mail) if line))
    return Written(subject, "\n\n".join(part.strip() for part in parts if part.strip()) + "\n")


def _told(quote: Quote) -> str:
    amounts = dict.fromkeys(option["gross"] for option in figures_of(quote)["options"])
    sums = [money(amount, quote).replace("\u00a0", " ") for amount in amounts]
    asked = sums[0] if len(sums) == 1 else f"{', '.join(sums[:-1])} or {sums[-1]}, as you choose"
    there = f"; there by {day(quote.there_by)}" if quote.there_by else ""
    return f"Quote {quote.reference}: {asked}, valid until {day(quote.valid_until)}{there}."


def day(on: date) -> str:
    return format_day(on, "j F Y")
