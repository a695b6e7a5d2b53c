"""Every figure of a quote as one JSON value, kept with its hash when the quote is made and shown from then on.

No name of a person and no word to them is among them, so that they may be forgotten and the sums stay.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from planner.measures import round_half_up
from shopapp.workshop.models import Workshop

from . import planning, wording
from .models import Quote, QuoteOption

FORM = 1


def worked_out(quote: Quote, options: Iterable[QuoteOption], shop: Workshop) -> dict:
    """``quote`` need not be written yet. Money is text with the currency's decimals, shares exact text."""
    exponent = quote.currency_exponent
    return {
        "form": FORM,
        "unit": shop.unit,
        "currency": {"symbol": quote.currency_symbol, "exponent": exponent},
        "tax": _share(quote.tax),
        "tax_included": quote.tax_included,
        "deposit": _share(quote.deposit),
        "shop": {name: getattr(shop, name) for name in ("name", "address", "mail", "phone", "tax_number")},
        "varies": wording.WOOD_VARIES,
        "bought": wording.bought_after(quote.deposit),
        "accepted_by": "",
        "options": [_option(quote, option) for option in options],
    }


def _share(share: object) -> str:
    return str(Fraction(share))


def _option(quote: Quote, option: QuoteOption) -> dict:
    exponent = quote.currency_exponent
    sums = planning.sums_for(
        option.price,
        option.boards,
        carriage=quote.carriage,
        tax=quote.tax,
        tax_included=quote.tax_included,
        deposit=quote.deposit,
        exponent=exponent,
    )
    whole = sums.by_line[0]
    inside = planning.goes_into(option.plan.record, whole, exponent) if quote.shows_sums else []
    return {
        "place": option.place,
        "plan": option.plan.sha256,
        "boards": option.boards,
        "each": str(round_half_up(Fraction(option.price), exponent)),
        "boards_come_to": str(whole),
        "carriage": str(sums.carriage),
        "net": str(sums.net),
        "tax": str(sums.tax),
        "gross": str(sums.gross),
        "deposit": str(sums.deposit),
        "rest": str(sums.balance),
        "inside": [[words, str(amount)] for words, amount in inside],
    }


def hash_of(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def figures_of(quote: Quote, shop: Workshop | None = None) -> dict:
    """As they were kept; of a quote made before they were, worked out of what it says. One query where its options
    are not at hand, more for such an old one."""
    if quote.figures:
        return json.loads(quote.figures)
    return worked_out(quote, quote.options.all(), shop or Workshop())


def faults_in(figures: dict) -> list[str]:
    """Sums that do not add up, in words; each is added here again from its parts, and nothing else is trusted."""
    faults = []
    for option in figures["options"]:
        at = f"option {option['place']}"
        money = {name: Decimal(option[name]) for name in _MONEY}
        boards = money["each"] * option["boards"]
        if boards != money["boards_come_to"]:
            faults.append(f"{at}: {option['boards']} × {option['each']} is not {option['boards_come_to']}.")
        of_lines = money["boards_come_to"] + money["carriage"]
        whole = "gross" if figures["tax_included"] else "net"
        if of_lines != money[whole]:
            faults.append(f"{at}: boards and carriage come to {of_lines}, not {money[whole]}.")
        if money["net"] + money["tax"] != money["gross"]:
            faults.append(f"{at}: {option['net']} and tax of {option['tax']} are not {option['gross']}.")
        if money["deposit"] + money["rest"] != money["gross"]:
            faults.append(f"{at}: deposit and rest are not {option['gross']}.")
        if option["inside"] and sum(Decimal(amount) for _, amount in option["inside"]) != boards:
            faults.append(f"{at}: what goes into it does not come to {option['boards_come_to']}.")
    return faults


_MONEY = ("each", "boards_come_to", "carriage", "net", "tax", "gross", "deposit", "rest")
