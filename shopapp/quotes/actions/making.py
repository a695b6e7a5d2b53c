"""A quote made for good: number, options, every figure with its hash; and its paper, which the worker makes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import IntegrityError, transaction
from django.db.models import Max

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.documents import make_once
from shopapp.common.tasks import background, enqueue
from shopapp.common.templatetags.shop import money
from shopapp.designs.models import Design
from shopapp.designs.pictures.rights import question_before
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only
from shopapp.plans.models import Plan, canonical
from shopapp.plans.readers import shop_as_kept
from shopapp.quotes import figures, wording
from shopapp.quotes.models import Quote, QuoteOption, QuotePaper
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from .telling import OPEN, Kind, QuoteMoved, Spend, lock, state_of, tell

MOST_OPTIONS = 6
_MOST_TRIES = 20


@dataclass(frozen=True)
class Offer:
    """What stands on a quote beside its options; money in the plans' currency."""

    for_whom: str
    title: str
    dated: date
    valid_until: date
    carriage: Decimal = Decimal(0)
    words: str = ""
    care: str = ""
    left_out: str = ""
    terms: str = ""
    called_off: str = ""
    person: Person | None = None
    wanted_by: date | None = None
    there_by: date | None = None
    there_by_reckoned: date | None = None
    there_by_words: str = ""
    # The day it has to be accepted by for ``there_by`` to stand.
    accepted_by: date | None = None
    deposit: Fraction = Fraction(0)
    shows_sums: bool = False


@dataclass(frozen=True)
class Offered:
    """One option: all that ``plan`` makes, at ``price`` each."""

    plan: Plan
    price: Decimal
    label: str = ""

    @property
    def boards(self) -> int:
        return self.plan.record["spec"]["quantity"]


def make_quote(
    *,
    who: Member | None,
    offer: Offer,
    options: Sequence[Offered],
    replaces: Quote | None = None,
    after: Callable[[Quote], None] = lambda quote: None,
    spend: Spend = lambda: None,
) -> Quote:
    """Write an offer down for good, under the next number of its year or as the next version of the one it
    ``replaces``, and ask the worker for its paper. ``after`` is part of the same transaction.

    Raises PlannerError where there is nothing to choose, where options are in two currencies, where whose a picture
    is was not answered, or where the quote to be replaced was accepted or replaced before.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        _check_options(options)
        if replaces is not None:
            _check_replaceable(replaces)
        quote = _write(who, offer, options, replaces)
        words = f"{quote} was made for {quote.for_whom}: {quote.title}, {_asked(quote)}."
        tell(who, quote, Kind.MADE, words)
        if replaces is not None and state_of(replaces) in OPEN:
            tell(who, replaces, Kind.REPLACED, f"{replaces} was replaced by {quote.reference}.")
        QuotePaper.objects.create(quote=quote, task=enqueue(make_paper, quote.pk))
        after(quote)
    return quote


def _check_options(options: Sequence[Offered]) -> None:
    if not options:
        raise PlannerError("There is nothing in this quote yet.", mend="Add a kept plan to it.")
    if len(options) > MOST_OPTIONS:
        raise PlannerError(f"A quote offers {MOST_OPTIONS} boards at most.", mend="Take some out.")
    first = _currency(options[0].plan)
    if any(_currency(one.plan) != first for one in options):
        raise PlannerError(
            "These plans were reckoned in two currencies.", mend="Reckon and keep them anew in the shop’s own."
        )
    for one in options:
        # As it stands now: whose the picture is may have been said anew since the page was opened.
        if question := question_before(Design.objects.get(pk=one.plan.design_id), "quote"):
            raise PlannerError(question, mend="Answer that first.")


def _currency(plan: Plan) -> dict:
    return plan.record.get("currency") or {}


def _check_replaceable(quote: Quote) -> None:
    lock(quote)
    if state_of(quote) == Kind.ACCEPTED:
        raise QuoteMoved(f"{quote} was accepted; its job stands.", mend="Make another quote for what comes on top.")
    if Quote.objects.filter(replaces=quote).exists():
        raise QuoteMoved(f"{quote} was replaced already.", mend="Change the one that took its place.")


def laid_out(
    offer: Offer, options: Sequence[Offered], shop: Workshop, replaces: Quote | None = None
) -> tuple[Quote, list[QuoteOption]]:
    """The quote an offer comes to and its options, not written yet: what is looked over before it is made."""
    kept = shop_as_kept(shop, options[0].plan.record) if options else shop
    quote = Quote(
        **{name: getattr(offer, name) for name in Offer.__dataclass_fields__ if name != "accepted_by"},
        replaces=replaces,
        tax=shop.tax,
        tax_included=shop.tax_included,
        currency_symbol=kept.currency_symbol,
        currency_exponent=kept.currency_exponent,
        whose_picture=wording.whose_pictures(
            Design.objects.filter(plans__in=[one.plan.pk for one in options]).distinct().order_by("pk")
        ),
    )
    rows = [
        QuoteOption(
            place=place, label=one.label or one.plan.design.name, plan=one.plan, boards=one.boards, price=one.price
        )
        for place, one in enumerate(options, start=1)
    ]
    accepted_by = offer.accepted_by.isoformat() if offer.accepted_by else ""
    quote.figures = canonical({**figures.worked_out(quote, rows, shop), "accepted_by": accepted_by})
    quote.figures_sha256 = figures.hash_of(quote.figures)
    return quote, rows


def _write(who: Member | None, offer: Offer, options: Sequence[Offered], replaces: Quote | None) -> Quote:
    quote, rows = laid_out(offer, options, the_workshop(), replaces)
    quote.made_by = who
    if replaces is not None:
        quote.year, quote.number, quote.version = replaces.year, replaces.number, replaces.version + 1
        quote.save(force_insert=True)
    else:
        _save_next_of_year(quote, offer.dated.year)
    for row in rows:
        row.quote = quote
        row.save(force_insert=True)
    return quote


def _save_next_of_year(quote: Quote, year: int) -> None:
    """Under a number nobody has; who asks at the same moment gets the next one."""
    quote.year = year
    for _ in range(_MOST_TRIES):
        quote.number = (Quote.objects.filter(year=year).aggregate(last=Max("number"))["last"] or 0) + 1
        try:
            with transaction.atomic():
                quote.save(force_insert=True)
                return
        except IntegrityError:
            if not Quote.objects.filter(year=year, number=quote.number).exists():
                raise
            quote.pk = None
    raise PlannerError("Too many quotes are being made at once.", mend="Send it once more.")


def _asked(quote: Quote) -> str:
    """What its options come to, in words."""
    sums = [money(option["gross"], quote) for option in figures.figures_of(quote)["options"]]
    return sums[0] if len(sums) == 1 else f"{', '.join(sums[:-1])} or {sums[-1]}"


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
    from shopapp.quotes.paper import quote_pdf

    quote = Quote.objects.select_related("replaces").get(pk=quote_id)
    make_once(QuotePaper.objects.filter(quote=quote), lambda: quote_pdf(quote), f"{quote}, {quote.title}")
