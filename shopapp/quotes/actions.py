"""Making an offer from a kept plan, and what becomes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.db.models import Max

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.documents import store_document
from shopapp.common.tasks import background, enqueue
from shopapp.common.templatetags.shop import money
from shopapp.designs.models import Design
from shopapp.designs.pictures.rights import question_before
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.plans.models import Plan
from shopapp.plans.readers import shop_as_kept
from shopapp.workshop.readers import the_workshop

from .models import Quote, QuoteEvent, QuoteOption, QuotePaper
from .planning import sums_of

Spend = Callable[[], None]
Kind = QuoteEvent.Kind
OPEN = (Kind.MADE, Kind.SENT)
# From where each thing that becomes of a quote may come; it is replaced by making another, accepted with its job.
COMES_AFTER = {Kind.SENT: (Kind.MADE,), Kind.ACCEPTED: OPEN, Kind.DECLINED: OPEN, Kind.LAPSED: OPEN}
_TOLD = {Kind.SENT: "was sent", Kind.DECLINED: "was declined", Kind.LAPSED: "has lapsed"}
_MOST_TRIES = 20


class QuoteMoved(PlannerError):
    """The quote is not as far as the page that was open thought."""


@dataclass(frozen=True)
class Offer:
    """What the maker writes into a quote; money in the plan's currency, the price that of one board."""

    for_whom: str
    title: str
    dated: date
    valid_until: date
    price: Decimal
    carriage: Decimal
    words: str
    care: str
    left_out: str
    terms: str


def make_quote(
    *, who: Member | None, plan: Plan, offer: Offer, replaces: Quote | None = None, spend: Spend = lambda: None
) -> Quote:
    """Write an offer down for good, under the next number of its year, and ask the worker for its paper.

    Raises PlannerError where whose the picture is was not answered, or where the quote to be replaced was accepted
    or replaced before.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        # As it stands now: whose the picture is may have been said anew since the page was opened.
        if question := question_before(Design.objects.get(pk=plan.design_id), "quote"):
            raise PlannerError(question, mend="Answer that first.")
        if replaces is not None:
            _check_replaceable(replaces)
        shop = the_workshop()
        kept = shop_as_kept(shop, plan.record)
        quote = _next_of_year(
            offer.dated.year,
            plan=plan,
            replaces=replaces,
            made_by=who,
            boards=plan.record["spec"]["quantity"],
            tax=shop.tax,
            tax_included=shop.tax_included,
            currency_symbol=kept.currency_symbol,
            currency_exponent=kept.currency_exponent,
            **asdict(offer),
        )
        QuoteOption.objects.create(
            quote=quote, place=1, label=quote.title, plan=plan, boards=quote.boards, price=quote.price
        )
        pays = money(sums_of(quote).buyer_pays, quote)
        words = f"{quote} was made for {quote.for_whom}: {quote.title}, {pays}."
        _tell(who, quote, Kind.MADE, words)
        if replaces is not None and state_of(replaces) in OPEN:
            _tell(who, replaces, Kind.REPLACED, f"{replaces} was replaced by {quote.reference}.")
        QuotePaper.objects.create(quote=quote, task=enqueue(make_paper, quote.pk))
    return quote


def _check_replaceable(quote: Quote) -> None:
    lock(quote)
    if state_of(quote) == Kind.ACCEPTED:
        raise QuoteMoved(f"{quote} was accepted; its job stands.", mend="Make another quote for what comes on top.")
    if Quote.objects.filter(replaces=quote).exists():
        raise QuoteMoved(f"{quote} was replaced already.", mend="Change the one that took its place.")


def _next_of_year(year: int, **fields: object) -> Quote:
    """A quote under a number nobody has; who asks at the same moment gets the next one."""
    for _ in range(_MOST_TRIES):
        last = Quote.objects.filter(year=year).aggregate(last=Max("number"))["last"] or 0
        try:
            with transaction.atomic():
                return Quote.objects.create(year=year, number=last + 1, **fields)
        except IntegrityError:
            if not Quote.objects.filter(year=year, number=last + 1).exists():
                raise
    raise PlannerError("Too many quotes are being made at once.", mend="Send it once more.")


def tell_quote(*, who: Member | None, quote: Quote, kind: str, spend: Spend = lambda: None) -> QuoteEvent:
    """Write that a quote was sent, declined or has lapsed. Raises QuoteMoved where it has come further meanwhile."""
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
    return _tell(who, quote, kind, words)


def lock(quote: Quote) -> None:
    """Whoever else would change how far the quote is waits until this transaction is done."""
    Quote.objects.select_for_update().get(pk=quote.pk)


def state_of(quote: Quote) -> str:
    return quote.events.order_by("-pk").values_list("kind", flat=True).first() or Kind.MADE


def _tell(who: Member | None, quote: Quote, kind: str, words: str) -> QuoteEvent:
    event = QuoteEvent.objects.create(quote=quote, who=who, kind=kind, words=words[:400])
    write_audit(who, words, quote)
    return event


def ask_for_paper(*, who: Member, quote: Quote, spend: Spend = lambda: None) -> QuotePaper:
    """Have the worker make a quote's paper again after a failure; one that stands stays."""
    owner_only(who)
    with transaction.atomic():
        spend()
        paper, _ = QuotePaper.objects.select_for_update().get_or_create(quote=quote)
        if paper.document_id is None:
            paper.task = enqueue(make_paper, quote.pk)
            paper.save(update_fields=["task"])
            write_audit(who, f"The paper of {quote} was asked for.", quote)
    return paper


@background(name="make a quote's paper")
def make_paper(quote_id: int) -> None:
    """The worker's part: render the paper, write the file, then record it."""
    from shopapp.common.paper import PaperTrouble

    from .paper import quote_pdf

    quote = Quote.objects.select_related("plan", "replaces").get(pk=quote_id)
    if QuotePaper.objects.filter(quote=quote, document__isnull=False).exists():
        return
    try:
        pdf = quote_pdf(quote)
    except PaperTrouble as error:
        raise PlannerError(str(error)) from error
    document = store_document(pdf, title=f"{quote}, {quote.title}")
    QuotePaper.objects.filter(quote=quote, document__isnull=True).update(document=document)
