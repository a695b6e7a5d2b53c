"""How far a quote has come: told by one who looks at it under its lock, each thing once and one end only."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.quotes.models import Quote, QuoteEvent

Spend = Callable[[], None]
Kind = QuoteEvent.Kind
OPEN = (Kind.MADE, Kind.SENT)
# From where each thing that becomes of a quote may come; it is replaced by making another, accepted with its job.
COMES_AFTER = {
    Kind.SENT: (Kind.MADE,),
    Kind.ACCEPTED: OPEN,
    Kind.DECLINED: OPEN,
    Kind.LAPSED: OPEN,
    Kind.WITHDRAWN: OPEN,
}
_TOLD = {
    Kind.SENT: "was sent",
    Kind.DECLINED: "was declined",
    Kind.LAPSED: "has lapsed",
    Kind.WITHDRAWN: "was withdrawn",
}


class QuoteMoved(PlannerError):
    """The quote is not as far as the page that was open thought."""


def tell_quote(*, who: Member | None, quote: Quote, kind: str, spend: Spend = lambda: None) -> QuoteEvent:
    """Write that a quote was sent, declined, withdrawn or has lapsed. Raises QuoteMoved where it has come further
    meanwhile."""
    owner_only(who)
    if kind not in _TOLD:
        raise PlannerError("Nothing of that name becomes of a quote here.", mend="Choose it from the page.")
    with transaction.atomic():
        spend()
        return tell_next(who=who, quote=quote, kind=kind, words=f"{quote} {_TOLD[Kind(kind)]}.")


def tell_next(*, who: Member | None, quote: Quote, kind: str, words: str) -> QuoteEvent:
    """The next event of a quote, if it may follow; to be called inside a transaction."""
    lock(quote)
    now = state_of(quote)
    if now not in COMES_AFTER[Kind(kind)]:
        raise QuoteMoved(f"{quote} is {Kind(now).label} already.", mend="Look at it as it is now.")
    return tell(who, quote, kind, words)


def lock(quote: Quote) -> None:
    """Whoever else would change how far the quote is waits until this transaction is done."""
    Quote.objects.select_for_update().get(pk=quote.pk)


def state_of(quote: Quote) -> str:
    return quote.events.order_by("-pk").values_list("kind", flat=True).first() or Kind.MADE


def tell(who: Member | None, quote: Quote, kind: str, words: str) -> QuoteEvent:
    """Write an event without looking whether it may follow; for those who looked."""
    event = QuoteEvent.objects.create(quote=quote, who=who, kind=kind, words=words[:400])
    write_audit(who, words, quote)
    return event
