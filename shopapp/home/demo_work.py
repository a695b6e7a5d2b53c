"""Work in hand at Reedbank Workshop: a commission that was quoted and accepted, and a gift. Everything is invented."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

from django.utils import timezone

from shopapp.jobs.actions import JobFacts, accept_quote, make_job
from shopapp.jobs.models import Job
from shopapp.jobs.needs import needs_of
from shopapp.lumber.models import StockPiece
from shopapp.lumber.promising.readers import feet_of
from shopapp.lumber.stock.promises import reserve, want_wood
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from shopapp.quotes.actions import Offer, Offered, make_quote, tell_quote
from shopapp.quotes.wording import CARE, LEFT_OUT, TERMS

from .demo_people import somebody_called


def fill_work(who: Member, plan: Plan) -> None:
    """A quote from ``plan``, sent and accepted, its job with boards enough for every wood; and a gift with one."""
    today = timezone.localdate()
    wren, sedge = somebody_called("Wren Attwater"), somebody_called("Aunt Sedge")
    offer = Offer(
        for_whom=wren.name,
        person=wren,
        title=plan.design.name,
        dated=today - timedelta(days=6),
        valid_until=today + timedelta(days=24),
        words="For the wall above the boathouse stove, as we spoke about it on the quay.",
        care=CARE["wall"],
        left_out=LEFT_OUT["wall"],
        terms=TERMS,
        deposit=Fraction(1, 2),
    )
    quote = make_quote(who=who, offer=offer, options=[Offered(plan, Decimal(plan.price))])
    tell_quote(who=who, quote=quote, kind="sent")
    lantern = accept_quote(who=who, quote=quote, label=plan.design.name, due=today + timedelta(days=40))
    _reserve(who, lantern, needs_of(plan))
    facts = JobFacts("Heron for Aunt Sedge", Job.Kind.GIFT, due=today + timedelta(days=25), person=sedge)
    _reserve(who, make_job(who=who, facts=facts), {"sapele": Fraction(1)})


def _reserve(who: Member, job: Job, needs: dict[str, Fraction]) -> None:
    """Free boards until there is enough of every wood, the shortest that are there first."""
    pieces = []
    for wood, need in needs.items():
        free = StockPiece.objects.filter(wood=wood, state=StockPiece.State.HERE, demand=None, set_aside="")
        for piece in free.order_by("length", "pk"):
            if need <= 0:
                break
            pieces.append(piece)
            need -= feet_of(piece)
    reserve(who=who, demand=want_wood(label=job.label, key=job.key), pieces=pieces)
