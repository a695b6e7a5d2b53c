"""What a draft says, as plain values: what its form reads and its actions write."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from shopapp.people.models import Person
from shopapp.quotes.models import QuoteDraft


@dataclass(frozen=True)
class DraftFacts:
    """``person`` is somebody of the book, or the name of somebody new. Money is in the currency of the options;
    ``there_by`` is the maker's own day where the timetable's is not it."""

    title: str
    valid_until: date
    person: Person | str | None = None
    wanted_by: date | None = None
    there_by: date | None = None
    carriage: Decimal = Decimal(0)
    deposit: Fraction = Fraction(0)
    words: str = ""
    care: str = ""
    left_out: str = ""
    terms: str = ""
    called_off: str = ""
    shows_sums: bool = False

    @classmethod
    def of(cls, draft: QuoteDraft) -> DraftFacts:
        said = {name: getattr(draft, name) for name in cls.__dataclass_fields__}
        return cls(**{**said, "person": draft.person or draft.for_whom or None})


@dataclass(frozen=True)
class OptionFacts:
    """What is said of one option of a draft, by its row's number."""

    pk: int
    label: str
    price: Decimal


# What each field is called where its change is told.
CALLED = {
    "title": "what it is called",
    "valid_until": "valid until",
    "person": "for whom",
    "wanted_by": "wanted by",
    "there_by": "there by",
    "carriage": "carriage",
    "deposit": "deposit",
    "words": "words to them",
    "care": "use and care",
    "left_out": "what is left out",
    "terms": "terms",
    "called_off": "if it is called off",
    "shows_sums": "whether its sums are shown",
}
