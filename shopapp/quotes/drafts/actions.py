"""A draft begun, changed, given boards, put aside; and made into a quote."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.people.choosing import person_of
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.plans.models import Plan
from shopapp.quotes import planning, wording
from shopapp.quotes.actions import Offer, Offered, make_quote
from shopapp.quotes.actions.making import MOST_OPTIONS
from shopapp.quotes.models import DraftOption, Quote, QuoteDraft
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from .facts import CALLED, DraftFacts, OptionFacts
from .ready import ThereBy, there_by

Spend = Callable[[], None]
MOVES = {"up": -1, "down": 1}
# What a quote has room for in care and in what is left out.
LONGEST_WORDS = 300


def first_facts(shop: Workshop, plans: Sequence[Plan], title: str = "") -> DraftFacts:
    """What a draft begins with: the settings' days, deposit, carriage and terms, and words for the boards' uses."""
    uses = _uses_of(plans)
    last = Quote.objects.order_by("-pk").only("terms", "called_off").first()
    return DraftFacts(
        title=title or (plans[0].design.name if plans else ""),
        valid_until=timezone.localdate() + timedelta(days=shop.quote_days),
        carriage=shop.carriage_charged,
        deposit=shop.deposit,
        care=_with_uses("", wording.CARE, uses),
        left_out=_with_uses("", wording.LEFT_OUT, uses),
        terms=shop.quote_terms or wording.TERMS,
        called_off=(last.called_off if last else "") or wording.CALLED_OFF,
    )


def _uses_of(plans: Sequence[Plan]) -> list[str]:
    return list(dict.fromkeys(plan.record["spec"]["use"] for plan in plans))


def _with_uses(said: str, words: dict[str, str], uses: Sequence[str]) -> str:
    """``said`` and, after it, the words for each use, so far as they have room and do not stand in it."""
    for use in uses:
        more = words.get(use, "")
        if more and more not in said and len(said) + len(more) < LONGEST_WORDS:
            said = f"{said} {more}".strip()
    return said


def _say_of_uses(draft: QuoteDraft, uses: Sequence[str]) -> None:
    """What boards of a use new to the draft ask for: how they are looked after, and what is left out."""
    draft.care = _with_uses(draft.care, wording.CARE, uses)
    draft.left_out = _with_uses(draft.left_out, wording.LEFT_OUT, uses)
    draft.save(update_fields=["care", "left_out", "changed_at"])


def begin_draft(
    *,
    who: Member | None,
    facts: DraftFacts,
    plans: Sequence[Plan] = (),
    replaces: Quote | None = None,
    spend: Spend = lambda: None,
) -> QuoteDraft:
    """Begin to write a quote; each of ``plans`` is an option at the price it was reckoned at."""
    owner_only(who)
    with transaction.atomic():
        spend()
        draft = QuoteDraft.objects.create(**_fields_of(who, facts), replaces=replaces)
        _add(draft, plans)
        write_audit(who, f"A quote was begun: {draft.title}{_whom_said(draft)}.", draft)
    return draft


def write_anew(*, who: Member | None, quote: Quote, spend: Spend = lambda: None) -> QuoteDraft:
    """A draft of what a quote says, to take its place when it is made; the one being written, if there is one."""
    owner_only(who)
    with transaction.atomic():
        spend()
        # Two who ask at once come one after the other, and are given the same draft.
        Quote.objects.select_for_update().get(pk=quote.pk)
        open_still = quote.drafts.filter(made=None, put_aside=False).first()
        if open_still is not None:
            return open_still
        names = [one for one in DraftFacts.__dataclass_fields__ if one not in ("valid_until", "there_by", "person")]
        until = timezone.localdate() + timedelta(days=the_workshop().quote_days)
        # The maker's own day is written again only where it was one.
        own = quote.there_by if quote.there_by != quote.there_by_reckoned else None
        said = {name: getattr(quote, name) for name in (*names, "person", "for_whom")}
        draft = QuoteDraft.objects.create(**said, valid_until=until, there_by=own, replaces=quote)
        for option in quote.options.all():
            DraftOption.objects.create(
                draft=draft, place=option.place, label=option.label, plan_id=option.plan_id, price=option.price
            )
        write_audit(who, f"{quote} is being written anew.", draft)
    return draft


def _fields_of(who: Member | None, facts: DraftFacts) -> dict[str, object]:
    """As a draft's row has them; somebody new is written into the book."""
    person = person_of(who, facts.person)
    said = {name: getattr(facts, name) for name in DraftFacts.__dataclass_fields__}
    return {**said, "person": person, "for_whom": person.name if person else ""}


def _whom_said(draft: QuoteDraft) -> str:
    return f", for {draft.for_whom}" if draft.for_whom else ""


def _add(draft: QuoteDraft, plans: Sequence[Plan]) -> list[DraftOption]:
    """Those that are not in it yet, after those that are. Raises PlannerError where there would be too many."""
    there = set(draft.options.values_list("plan_id", flat=True))
    more = [plan for plan in plans if plan.pk not in there]
    if len(there) + len(more) > MOST_OPTIONS:
        raise PlannerError(f"A quote offers {MOST_OPTIONS} boards at most.", mend="Take some out first.")
    rows = list(draft.options.select_related("plan"))
    last = max((row.place for row in rows), default=0)
    unit = the_workshop().unit
    added = []
    for place, plan in enumerate(more, start=last + 1):
        alike = [row.plan.record for row in (*rows, *added) if row.plan.design_id == plan.design_id]
        label = f"{plan.design.name}{planning.told_apart(plan.record, alike, unit)}"[:80]
        price = plan.price or Decimal(0)
        added.append(DraftOption.objects.create(draft=draft, place=place, label=label, plan=plan, price=price))
    return added


def _locked(draft: QuoteDraft) -> QuoteDraft:
    """The draft as it stands, its lock held. Raises PlannerError where it is no draft any more."""
    found = QuoteDraft.objects.select_for_update(of=("self",)).select_related("made").get(pk=draft.pk)
    if found.made is not None:
        raise PlannerError(f"It was made meanwhile: {found.made}.", mend="Write that one anew to change it.")
    return found


def add_options(
    *, who: Member | None, draft: QuoteDraft, plans: Sequence[Plan], spend: Spend = lambda: None
) -> list[DraftOption]:
    """Offer kept plans besides; whoever has the draft open sees them when they keep it."""
    owner_only(who)
    with transaction.atomic():
        spend()
        draft = _locked(draft)
        there = {one.plan.record["spec"]["use"] for one in draft.options.select_related("plan")}
        added = _add(draft, plans)
        if added:
            _say_of_uses(draft, [use for use in _uses_of(plans) if use not in there])
            _touch(draft)
            words = ", ".join(f"{one.plan.title}, plan {one.plan_id}" for one in added)
            write_audit(who, f"{draft.title}: offered besides, {words}.", draft)
    return added


def change_draft(
    *,
    who: Member | None,
    draft: QuoteDraft,
    facts: DraftFacts,
    options: Sequence[OptionFacts],
    seen_version: int,
    move: tuple[str, int] | None = None,
    spend: Spend = lambda: None,
) -> QuoteDraft:
    """Write what is said of a draft and its options, and ``move`` one ("up", "down", "out"). Raises EditConflict when
    somebody else changed it meanwhile, PlannerError where it is no draft any more."""
    owner_only(who)
    with transaction.atomic():
        spend()
        draft = _locked(draft)
        check_version(draft, seen_version)
        rows = {row.pk: row for row in draft.options.all()}
        told = _write_facts(who, draft, facts) + _write_options(rows, options)
        told += _moved(rows, move) if move else []
        if told:
            _touch(draft)
            write_audit(who, f"The quote being written, {draft.title}: {', '.join(told)} changed.", draft)
    return draft


def _write_facts(who: Member | None, draft: QuoteDraft, facts: DraftFacts) -> list[str]:
    stands = DraftFacts.of(draft)
    told = [name for name in DraftFacts.__dataclass_fields__ if getattr(stands, name) != getattr(facts, name)]
    if told:
        for name, value in _fields_of(who, facts).items():
            setattr(draft, name, value)
        draft.save()
    return [CALLED[name] for name in told]


def _write_options(rows: dict[int, DraftOption], options: Sequence[OptionFacts]) -> list[str]:
    told = []
    for one in options:
        row = rows.get(one.pk)
        if row is not None and (row.label, row.price) != (one.label, one.price):
            row.label, row.price = one.label, one.price
            row.save()
            told.append(f"option {row.place}")
    return told


def _moved(rows: dict[int, DraftOption], move: tuple[str, int]) -> list[str]:
    how, pk = move
    order = sorted(rows.values(), key=lambda row: row.place)
    at = next((n for n, row in enumerate(order) if row.pk == pk), None)
    if at is None:
        raise PlannerError("That option is not in it any more.", mend="Look at it as it is now.")
    row = order.pop(at)
    if how == "out":
        row.delete()
    else:
        order.insert(max(0, at + MOVES[how]), row)
    for place, one in enumerate(order, start=1):
        if one.place != place:
            one.place = place
            one.save(update_fields=["place"])
    return [f"option {at + 1} {'taken out' if how == 'out' else 'moved'}, order"]


def _touch(draft: QuoteDraft) -> None:
    draft.save(update_fields=["changed_at"])
    bump_version(draft)


def put_aside(*, who: Member | None, draft: QuoteDraft, aside: bool, spend: Spend = lambda: None) -> QuoteDraft:
    """Put a draft aside, or take it up again; nothing of it is lost."""
    owner_only(who)
    with transaction.atomic():
        spend()
        draft = _locked(draft)
        if draft.put_aside != aside:
            draft.put_aside = aside
            draft.save(update_fields=["put_aside", "changed_at"])
            bump_version(draft)
            write_audit(who, f"{draft.title} was {'put aside' if aside else 'taken up again'}.", draft)
    return draft


def offer_of(draft: QuoteDraft, there: ThereBy) -> Offer:
    """What a draft becomes today; the maker's own day stands before the timetable's, and both are kept."""
    names = [name for name in DraftFacts.__dataclass_fields__ if name != "there_by"]
    return Offer(
        for_whom=draft.for_whom,
        **{name: getattr(draft, name) for name in names},
        dated=timezone.localdate(),
        there_by=draft.there_by or there.day,
        there_by_reckoned=there.day,
        there_by_words=(there.words or there.trouble)[:300],
        accepted_by=min(there.accepted, draft.valid_until) if there.day and not draft.there_by else None,
    )


def make_from(*, who: Member | None, draft: QuoteDraft, seen_version: int, spend: Spend = lambda: None) -> Quote:
    """Make the quote a draft says, as it was seen. Raises EditConflict when it was changed meanwhile, PlannerError
    where something is missing or it cannot be made."""
    owner_only(who)
    options = list(draft.options.select_related("plan__design"))
    # Before the transaction: it may take a second, and nothing waits for it.
    there = there_by([one.plan for one in options], timezone.localdate())

    def bound(quote: Quote) -> None:
        found = _locked(draft)
        check_version(found, seen_version)
        QuoteDraft.objects.filter(pk=draft.pk).update(made=quote)

    if missing := missing_in(draft, options):
        raise PlannerError(missing[0])
    return make_quote(
        who=who,
        offer=offer_of(draft, there),
        options=[Offered(one.plan, one.price, one.label) for one in options],
        replaces=draft.replaces,
        after=bound,
        spend=spend,
    )


def missing_in(draft: QuoteDraft, options: Sequence[DraftOption]) -> list[str]:
    """What a draft still wants before it can be made, a sentence each."""
    found = []
    if not draft.for_whom:
        found.append("It says not yet for whom it is.")
    if not options:
        found.append("There is no board in it yet: add a kept plan.")
    found += [f"“{one.label}” has no price yet." for one in options if one.price <= 0]
    if draft.valid_until < timezone.localdate():
        found.append("The day it is valid until is past.")
    return found
