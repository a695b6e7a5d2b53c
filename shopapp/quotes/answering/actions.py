"""Links made and revoked, letters sent, questions asked and answered, and the answer a quote is given."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common import links
from shopapp.common.actions import write_audit
from shopapp.common.files import read_file
from shopapp.common.mail import Attached, MailTrouble, address_of, post, send_letter
from shopapp.common.models import Letter, PrivateLink
from shopapp.common.tasks import background, enqueue
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.plans.models import canonical
from shopapp.quotes.actions import QuoteMoved, lock, state_of, tell_next
from shopapp.quotes.models import Quote, QuoteAnswer, QuoteEvent, QuoteOption, QuotePaper, QuoteWord
from shopapp.quotes.readers import shown_to_customer
from shopapp.workshop.readers import the_workshop

from . import letters
from .readers import OPEN, subject_of

Spend = Callable[[], None]
Kind = QuoteEvent.Kind
# More is talked over, not written.
MOST_WORDS = 60
LONGEST_QUESTION = 1000


class LinkClosed(PlannerError):
    """The link was revoked, or its day is over, between the page and what was sent from it."""


class ShownChanged(PlannerError):
    """What the page says is not what it said when it was opened."""


# --- the maker's side -------------------------------------------------------------------------------------------


def make_link(*, who: Member | None, quote: Quote, until: date, spend: Spend = lambda: None) -> tuple[PrivateLink, str]:
    """A link for the customer and its token, to be shown once. It opens until the end of a day, no later than the
    quote is valid. Raises PlannerError, field "until"; QuoteMoved where the quote came to an end."""
    owner_only(who)
    with transaction.atomic():
        spend()
        _check_open(quote)
        if until < timezone.localdate():
            raise PlannerError("That day is past.", mend="Choose today or a later day.", field="until")
        if until > quote.valid_until:
            raise PlannerError(
                "The quote is not valid so long.", mend="Choose the last day it is valid, or an earlier.", field="until"
            )
        return links.make(who=who, subject=subject_of(quote), until=links.end_of(until))


def revoke_link(*, who: Member | None, quote: Quote, link: PrivateLink, spend: Spend = lambda: None) -> bool:
    """False where it was revoked before."""
    owner_only(who)
    if link.subject != subject_of(quote):
        raise PlannerError("That link leads to something else.", mend="Look at the list as it is now.")
    return links.revoke(who=who, link=link, spend=spend)


def ask_to_send(*, who: Member, quote: Quote, to: str, words: str, root: str, spend: Spend = lambda: None) -> Letter:
    """Have the worker send a quote by e-mail with its paper and a link of its own; ``root`` is where customers find
    this machine. Raises PlannerError, field "to" for an address that is none."""
    owner_only(who)
    with transaction.atomic():
        spend()
        _check_open(quote)
        if not post().ready:
            raise MailTrouble(letters.NOT_SET_UP)
        return _letter(who, quote, "offer", to, words, root)


def _letter(who: Member, quote: Quote, about: str, to: str, words: str, root: str) -> Letter:
    try:
        to = address_of(to)
    except ValidationError as error:
        raise PlannerError(error.messages[0], field="to") from error
    letter = Letter.objects.create(subject=subject_of(quote), about=about, to=to, words=words, asked_by=who)
    letter.task = enqueue(send_waiting_letter, letter.pk, quote.pk, root)
    letter.save(update_fields=["task"])
    write_audit(who, f"{quote} is to be sent to {to}.", quote)
    return letter


def is_open(quote: Quote) -> bool:
    return state_of(quote) in OPEN and not quote.is_past(timezone.localdate())


def may_be_answered(quote: Quote, state: str) -> bool:
    """Whether a question about it is still answered by e-mail: while it is open, and once it was accepted."""
    return state == Kind.ACCEPTED or (state in OPEN and not quote.is_past(timezone.localdate()))


def _check_open(quote: Quote) -> None:
    lock(quote)
    state = state_of(quote)
    if state not in OPEN:
        raise QuoteMoved(f"{quote} is {Kind(state).label}.", mend="There is nothing to be answered any more.")
    if quote.is_past(timezone.localdate()):
        raise QuoteMoved(f"{quote} was valid until {letters.day(quote.valid_until)}.", mend="Make another version.")


@background(name="send a letter")
def send_waiting_letter(letter_id: int, quote_id: int, root: str) -> None:
    """The worker's part: make the link that stands in the letter, send it, and write down what came of it.

    What ended half-way before is not sent again by itself: nobody gets the same letter twice without being told.
    """
    letter = Letter.objects.select_related("asked_by").get(pk=letter_id)
    if letter.sent_at or letter.failed or letter.begun_at:
        return
    quote = Quote.objects.get(pk=quote_id)
    Letter.objects.filter(pk=letter.pk).update(begun_at=timezone.now())
    link, address = None, ""
    try:
        paper = _paper_of(quote) if letter.about == "offer" else None
        with transaction.atomic():
            # What answers a question goes out after a yes as well; there is nothing to be answered by a link then.
            if letter.about == "offer" or is_open(quote):
                _check_open(quote)
                until = links.end_of(quote.valid_until)
                link, token = links.make(who=letter.asked_by, subject=subject_of(quote), until=until)
                Letter.objects.filter(pk=letter.pk).update(link=link)
                address = letters.address(root, token)
        shop = the_workshop()
        written = letters.written(letter, quote, shop, address)
        send_letter(
            to=letter.to,
            subject=written.subject,
            words=written.words,
            shop=shop.name,
            reply_to=shop.mail,
            attached=[paper] if paper else [],
        )
    except (PlannerError, ValidationError) as error:
        words = str(error) if isinstance(error, PlannerError) else "The shop’s own address is none: mend it there."
        with transaction.atomic():
            Letter.objects.filter(pk=letter.pk).update(failed=words[:400])
            if link is not None:
                # It stands in no letter, so nobody has it.
                links.revoke(who=letter.asked_by, link=link)
        raise
    with transaction.atomic():
        Letter.objects.filter(pk=letter.pk).update(sent_at=timezone.now())
        write_audit(letter.asked_by, f"{quote} was sent to {letter.to} by e-mail.", quote)
        lock(quote)
        if letter.about == "offer" and state_of(quote) == Kind.MADE:
            tell_next(
                who=letter.asked_by, quote=quote, kind=Kind.SENT, words=f"{quote} was sent to {letter.to} by e-mail."
            )


def _paper_of(quote: Quote) -> Attached:
    paper = QuotePaper.objects.select_related("document").filter(quote=quote).first()
    if paper is None or paper.document is None:
        raise MailTrouble("The paper of the quote is not made yet.", mend="Wait for it, then send it again.")
    try:
        return Attached(f"quote-{quote.reference}.pdf", read_file(paper.document.name))
    except OSError as error:
        raise MailTrouble("The paper of the quote is lost.", mend="Restore the backup, then send it again.") from error


def answer_question(
    *, who: Member, quote: Quote, words: str, to: str = "", root: str = "", spend: Spend = lambda: None
) -> tuple[QuoteWord, Letter | None]:
    """What the shop says to a question: it stands at the link, and goes out by e-mail where ``to`` is an address and
    letters are set up."""
    owner_only(who)
    with transaction.atomic():
        spend()
        lock(quote)
        if not quote.said.exists():
            raise PlannerError("Nobody asked anything yet.", mend="Write to them when you send the quote.")
        said = QuoteWord.objects.create(quote=quote, who=who, words=words)
        write_audit(who, f"A question about {quote} was answered.", quote)
        goes = bool(to) and post().ready and may_be_answered(quote, state_of(quote))
        letter = _letter(who, quote, "answer", to, words, root) if goes else None
    return said, letter


# --- the customer's side ----------------------------------------------------------------------------------------


def hold(quote: Quote, link: PrivateLink, seen: str) -> None:
    """Before anything is recorded of what a customer sent: the quote and the link are held, the link still opens, and
    the page said what it says now. To be called inside the transaction; raises LinkClosed, QuoteMoved, ShownChanged."""
    lock(quote)
    if links.lock(link) is None or link.subject != subject_of(quote):
        raise LinkClosed("This link does not open anything any more.")
    _check_open(quote)
    if seen != hash_of(shown_to_customer(quote)):
        raise ShownChanged(
            "What this page says has changed since you opened it.", mend="Read it once more; nothing was recorded."
        )


def hash_of(shown: dict) -> str:
    return hashlib.sha256(canonical(shown).encode()).hexdigest()


def record_answer(
    *, who: Member | None, quote: Quote, kind: str, name: str, option: QuoteOption | None, link: PrivateLink | None
) -> QuoteAnswer:
    """What was said, by whom, and all that was shown to them; to be called in the transaction that tells it."""
    shown = canonical(shown_to_customer(quote))
    return QuoteAnswer.objects.create(
        quote=quote,
        kind=kind,
        option=option,
        name=name,
        on=timezone.localdate(),
        who=who,
        link=link,
        shown=shown,
        shown_sha256=hashlib.sha256(shown.encode()).hexdigest(),
    )


def decline(
    *, quote: Quote, link: PrivateLink, name: str, reason: str, seen: str, spend: Spend = lambda: None
) -> QuoteAnswer:
    """The customer says no by their link, once; why, if they say, stands among what they wrote."""
    with transaction.atomic():
        spend()
        hold(quote, link, seen)
        tell_next(who=None, quote=quote, kind=Kind.DECLINED, words=f"{quote} was declined by {name}, by a link.")
        if reason:
            QuoteWord.objects.create(quote=quote, link=link, words=reason)
        links.keep_open(link, links.answered_until())
        return record_answer(who=None, quote=quote, kind=QuoteAnswer.Kind.DECLINED, name=name, option=None, link=link)


def ask(*, quote: Quote, link: PrivateLink, words: str, spend: Spend = lambda: None) -> QuoteWord:
    """A question by a link. Raises LinkClosed, QuoteMoved."""
    with transaction.atomic():
        spend()
        lock(quote)
        if links.lock(link) is None or link.subject != subject_of(quote):
            raise LinkClosed("This link does not open anything any more.")
        _check_open(quote)
        if quote.said.count() >= MOST_WORDS:
            raise PlannerError("So much was written here already that it is better talked over.", mend="Call the shop.")
        said = QuoteWord.objects.create(quote=quote, link=link, words=words)
        write_audit(None, f"A question was asked about {quote}.", quote)
    return said
