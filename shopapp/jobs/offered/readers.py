"""What the page of a link shows beside what the quote itself says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from shopapp.jobs.models import Job
from shopapp.payments.readers import Standing, standing
from shopapp.quotes.answering.readers import Opened, chosen_in, subject_of
from shopapp.workshop.models import Workshop


@dataclass(frozen=True)
class Accepted:
    """What was accepted, and how its deposit is paid: ``option`` as it was shown; ``money`` how it stands, where the
    shop keeps an account of it."""

    option: dict
    money: Standing | None
    pay_to: str
    called_off: bool


def accepted(opened: Opened, shop: Workshop) -> Accepted:
    place = opened.answer.option.place
    called_off = Job.objects.filter(quote=opened.quote, state=Job.State.CALLED_OFF).exists()
    option = on_screen(chosen_in(opened.shown, place))
    return Accepted(option, standing(subject_of(opened.quote)), shop.pay_to, called_off)


def on_screen(option: Mapping) -> dict:
    """An option as it was shown, with what keeps room for its picture before that has come: its size in whole
    millimetres, and its place as a form has it."""
    size = option["size"]
    return {
        **option,
        "place_text": str(option["place"]),
        "wide": round(Fraction(size["wide"])),
        "high": round(Fraction(size["high"])),
    }
