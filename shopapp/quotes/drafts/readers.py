"""What the pages of drafts show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Count

from shopapp.common.models import AuditLine
from shopapp.plans.models import Plan
from shopapp.plans.readers import shop_as_kept
from shopapp.quotes import planning
from shopapp.quotes.actions import Offered
from shopapp.quotes.actions.making import laid_out
from shopapp.quotes.models import DraftOption, QuoteDraft
from shopapp.quotes.readers import OptionView, QuoteView
from shopapp.workshop.models import Workshop

from .actions import offer_of
from .ready import ThereBy

MOST_PLANS = 60


def options_of(draft: QuoteDraft) -> list[DraftOption]:
    """With their plans and designs. One query."""
    return list(draft.options.select_related("plan__design"))


def shop_of(shop: Workshop, options: Sequence[DraftOption]) -> Workshop:
    """The shop with the currency its options were reckoned in."""
    return shop_as_kept(shop, options[0].plan.record) if options else shop


def as_made(draft: QuoteDraft, options: Sequence[DraftOption], shop: Workshop, there: ThereBy) -> QuoteView:
    """The draft as the quote it would become today. One query, for the designs' pictures."""
    offered = [Offered(one.plan, one.price, one.label) for one in options]
    quote, rows = laid_out(offer_of(draft, there), offered, shop, draft.replaces)
    return QuoteView(quote, shop, rows)


@dataclass(frozen=True)
class Drafted:
    """An option of a draft beside what it leaves the maker at its price."""

    row: DraftOption
    view: OptionView
    leaves: planning.Leaves
    hours: str


def drafted(draft: QuoteDraft, options: Sequence[DraftOption], view: QuoteView, shop: Workshop) -> list[Drafted]:
    """Each option with its sums; the maker's eyes only. One query, for the fees."""
    return [
        Drafted(
            row,
            shown,
            planning.leaves_the_maker(row.plan.record, row.price, shown.boards, draft.carriage, shop),
            planning.hours_said(row.plan.record),
        )
        for row, shown in zip(options, view.options, strict=True)
    ]


@dataclass(frozen=True)
class DraftLine:
    """A draft in the list."""

    draft: QuoteDraft
    options: int
    late: bool


def open_drafts(today: date) -> list[DraftLine]:
    """Those being written, what was changed last first. One query."""
    return _lines(QuoteDraft.objects.filter(made=None, put_aside=False), today)


def drafts_aside(today: date) -> list[DraftLine]:
    return _lines(QuoteDraft.objects.filter(made=None, put_aside=True), today)


def _lines(rows, today: date) -> list[DraftLine]:
    rows = rows.annotate(many=Count("options")).select_related("replaces").order_by("-changed_at", "-pk")
    rows = rows.defer("words", "terms", "care", "left_out", "called_off")
    return [DraftLine(row, row.many, bool(row.wanted_by and row.wanted_by < today)) for row in rows[:100]]


@dataclass(frozen=True)
class Offerable:
    """A kept plan that may become an option: ``there`` says that it is one already."""

    plan: Plan
    words: str
    there: bool = False


def plans_of_design(design_pk: int) -> list[Plan]:
    """Kept plans of a design, the newest first. One query."""
    return list(Plan.objects.filter(design=design_pk).select_related("design")[:MOST_PLANS])


def offerable(plans: Sequence[Plan], unit: str, there: set[int] = frozenset()) -> list[Offerable]:
    return [Offerable(plan, planning.plan_words(plan.record, unit), plan.pk in there) for plan in plans]


def designs_with_plans() -> list[tuple[int, str]]:
    """Designs a board was kept of, to choose from. One query."""
    rows = Plan.objects.filter(design__set_aside=False).order_by("design__name", "design_id")
    return list(rows.values_list("design_id", "design__name").distinct())


def who_changed(draft: QuoteDraft) -> str:
    """Who wrote the newest line about a draft. One query."""
    line = AuditLine.objects.filter(kind="quotes.quotedraft", key=str(draft.pk)).select_related("who").first()
    return line.who.get_username() if line and line.who else ""
