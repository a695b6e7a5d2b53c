"""A commission handed over is sold, for what its quote was accepted at; a gift handed over is given, a remake goes out
in the place of what it stands in for."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.jobs import handing
from shopapp.jobs.models import Job
from shopapp.listings.models import Piece, Sale, SaleChange
from shopapp.listings.pieces.actions import number_pieces
from shopapp.listings.pieces.instead import stands_in_for
from shopapp.listings.pieces.readers import shop_of
from shopapp.payments.deals import deal_of
from shopapp.payments.planning import sums_of_deal
from shopapp.people.choosing import person_of
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from . import planning
from .actions import FREE, Sold, give, hold_piece, its_listing, write_sale
from .ending import take_back, take_gift_back
from .instead import is_somebody_s, send_instead

Spend = Callable[[], None]
# What goes without a price as its job is handed over.
# What is a sale as its job is handed over, where a quote says for how much.
_QUOTED = (Job.Kind.COMMISSION, Job.Kind.REMAKE)
_GOES_OUT = (Job.Kind.GIFT, Job.Kind.REMAKE)


def hand_over_commission(
    *, who: Member | None, job: Job, on: date | None = None, spend: Spend = lambda: None
) -> list[Sale]:
    """The boards of an accepted quote are sold on the day they are handed over: each for its price, and carriage and
    tax shared over them so that all together are the quote to the coin. Boards that have no number yet get one.

    What was paid before is on the quote's account, and stays there. Nothing is written a second time. Raises
    PlannerError where nothing was agreed that could be reckoned.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update(of=("self",)).select_related("plan", "quote").get(pk=job.pk)
        key = f"quote {job.quote_id}"
        deal = deal_of(key) if job.quote_id is not None else None
        if deal is None:
            raise PlannerError(f"What {job.label} was agreed at is not in the book.",
                               mend="Write its piece down as sold, with the price.")  # fmt: skip
        if sales_of_commission(job):
            return []
        on = on or timezone.localdate()
        line, sums = deal.lines[0], sums_of_deal(deal)
        pieces = list(job.pieces.filter(sale=None, where__in=FREE).order_by("number"))[: line.count]
        if len(pieces) < line.count:
            pieces += number_pieces(who=who, job=job, count=line.count - len(pieces), made_on=on)
        carriage = planning.shared(deal.carriage, line.count, deal.currency_exponent)
        tax = planning.shared(sums.tax, line.count, deal.currency_exponent)
        person = person_of(who, deal.person)
        sales = []
        for piece, carried, taxed in zip(pieces, carriage, tax, strict=True):
            piece = hold_piece(piece)
            shop = shop_of(piece)
            shop.currency_symbol, shop.currency_exponent = deal.currency_symbol, deal.currency_exponent
            whole = line.each + carried
            net = whole - taxed if deal.tax_included else whole
            sold = Sold(
                line.each, carried, planning.Sums(net, taxed, net + taxed), deal.tax, deal.tax_included, [], shop, on,
                Sale.How.INVOICE, account_key=key, words=f"As agreed: {deal.label}"[:400],
            )  # fmt: skip
            listing = its_listing(piece, None)
            sales.append(write_sale(who, piece, listing, sold, person, for_whom=deal.for_whom))
    return sales


def sales_of_commission(job: Job) -> list[Sale]:
    """Those that have not ended. One query, none without a quote."""
    if job.quote_id is None:
        return []
    ended = SaleChange.objects.exclude(kind=SaleChange.Kind.REDUCED).values("sale")
    sales = Sale.objects.filter(account_key=f"quote {job.quote_id}", piece__job=job).exclude(pk__in=ended)
    return list(sales.select_related("piece").order_by("pk"))


def _handed_over(who: Member | None, job: Job) -> None:
    today = timezone.localdate()
    if job.kind in _QUOTED and job.quote_id is not None and deal_of(f"quote {job.quote_id}") is not None:
        hand_over_commission(who=who, job=job)
    elif job.kind == Job.Kind.GIFT:
        if not job.pieces.exists():
            number_pieces(who=who, job=job, made_on=today)
        for piece in job.pieces.filter(sale=None, where__in=FREE):
            give(who=who, piece=piece, on=today, to_whom=job.person)
    elif job.kind == Job.Kind.REMAKE and job.settled == Job.Settled.RESERVE:
        if not job.pieces.exists() and stands_in_for(job) is not None:
            number_pieces(who=who, job=job, made_on=today)
        for piece in job.pieces.filter(sale=None, where__in=FREE).select_related("instead_of"):
            if piece.instead_of is not None and is_somebody_s(piece.instead_of):
                send_instead(who=who, piece=piece, on=today)


def _not_after_all(who: Member | None, job: Job) -> None:
    sales = sales_of_commission(job)
    gone = bool(sales) or (job.kind in _GOES_OUT and job.pieces.filter(where=Piece.Where.GIVEN).exists())
    if gone and who is not None and not who.is_owner:
        raise PlannerError(
            f"{job.label} counts as {'sold' if sales else 'given'} since.", mend="Ask the owner to say that it was not."
        )
    for sale in sales:
        on = max(timezone.localdate(), sale.on)
        take_back(who=who, sale=sale, kind=SaleChange.Kind.MISTAKE, on=on, words="It was not handed over after all.")
    if job.kind in _GOES_OUT:
        for piece in job.pieces.filter(sale=None, where=Piece.Where.GIVEN):
            take_gift_back(who=who, piece=piece, on=timezone.localdate())


def take_part() -> None:
    handing.register(_handed_over, _not_after_all)
