"""A job written down, changed, moved on and called off; a quote accepted, which makes its job."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common import links
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.models import PrivateLink
from shopapp.lumber.stock import promises
from shopapp.payments.actions import expect, stop_expecting
from shopapp.payments.deals import deal_of
from shopapp.payments.readers import standing
from shopapp.people.choosing import person_of
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only
from shopapp.plans.cutting.holding import take_over
from shopapp.plans.models import CutSheet, Plan
from shopapp.quotes.actions import lock, tell_next
from shopapp.quotes.answering.actions import hold, record_answer
from shopapp.quotes.answering.readers import subject_of
from shopapp.quotes.models import Quote, QuoteAnswer, QuoteEvent, QuoteOption
from shopapp.schedule.log.actions import say_done
from shopapp.schedule.log.planning import counts_of_record

from . import handing
from .anew import book_them, evenings_anew
from .beginning.actions import LEFT, put_its_wood_back, take_its_wood
from .done.open import leaving_of, left_said, open_of, reserved_for
from .evenings import free_evenings, nothing_ticked
from .models import AFTERWARDS, Job, JobEvent
from .over import CLOSED, OVER, Leaving
from .reserving.actions import reserve_what_serves
from .words import changes_said, due_said, kind_said, marks_said, moved_said

Spend = Callable[[], None]
State = Job.State
# Where a job may go from where it is; each step can be taken back.
NEXT = {
    State.PLANNED: (State.UNDER_WAY, State.CALLED_OFF),
    State.UNDER_WAY: (State.FINISHED, State.PLANNED, State.CALLED_OFF),
    State.FINISHED: (State.HANDED_OVER, State.UNDER_WAY, State.CALLED_OFF),
    State.HANDED_OVER: (State.FINISHED,),
    State.CALLED_OFF: (State.PLANNED,),
}
# What whoever stands at the bench may say; the rest is the owner's.
AT_THE_BENCH = (State.UNDER_WAY, State.FINISHED)
# A piece of it is there.
DONE = (State.FINISHED, State.HANDED_OVER)


class JobMoved(PlannerError):
    """The job is not as far as the page that was open thought."""


class ThingsOpen(JobMoved):
    """The job is to be finished, and something of it is open that nobody said may stay so."""


@dataclass(frozen=True)
class JobFacts:
    """What is known of a job. ``person`` is somebody of the book, or a new name to be written into it."""

    label: str
    kind: str
    for_whom: str = ""
    due: date | None = None
    plan: Plan | None = None
    person: Person | str | None = None
    of: Job | None = None
    settled: str = ""
    way: str = ""


def make_job(*, who: Member | None, facts: JobFacts, spend: Spend = lambda: None) -> Job:
    """Write a job down; wood can be reserved for it from now on."""
    owner_only(who)
    with transaction.atomic():
        spend()
        _about_a_piece(facts)
        facts = _with_person(who, facts)
        words = f"{facts.label} was written down: {kind_said(facts)}{due_said(facts.due)}."
        return _begin(who, facts, words)[0]


def accept_quote(
    *,
    who: Member | None,
    quote: Quote,
    label: str,
    option: QuoteOption | None = None,
    due: date | None = None,
    name: str = "",
    link: PrivateLink | None = None,
    seen: str = "",
    spend: Spend = lambda: None,
) -> Job:
    """A quote is accepted, by ``name``: its answer with all that was shown, its job, the wood for it, and the money
    that is owed from now on; all of it or nothing.

    By the maker, or by the customer's ``link``, whose page said what has the hash ``seen``. ``option`` may be left out
    where there is one alone. Raises QuoteMoved where the quote came to another end, PlannerError where nothing was
    chosen; by a link LinkClosed and ShownChanged besides, and nobody accepts late by one.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        lock(quote)
        if link is not None:
            hold(quote, link, seen)
        chosen = _chosen(quote, option)
        late = (timezone.localdate() - quote.valid_until).days
        past = f", {late} {'day' if late == 1 else 'days'} after it was valid" if late > 0 else ""
        name = name or quote.for_whom
        by_link = ", by a link" if link is not None else ""
        by = f" by {name}{by_link}" if link is not None or name != quote.for_whom else ""
        of = f", proof {chosen}" if quote.options.count() > 1 else ""
        words = f"{quote} was accepted{by}{past}{of}; its job begins."
        tell_next(who=who, quote=quote, kind=QuoteEvent.Kind.ACCEPTED, words=words)
        record_answer(who=who, quote=quote, kind=QuoteAnswer.Kind.ACCEPTED, name=name, option=chosen, link=link)
        if link is not None:
            links.keep_open(link, links.answered_until())
        due = due or quote.there_by or quote.wanted_by
        facts = JobFacts(label, Job.Kind.COMMISSION, quote.for_whom, due, chosen.plan, quote.person)
        # Who said so stands with the quote.
        words = f"{quote} was accepted{by_link}{past}{of}: {label} is {kind_said(facts)}{due_said(due)}."
        job, cut = _begin(who, facts, words, quote=quote)
        if not cut and (wood := reserve_what_serves(who, job, deposit=bool(quote.deposit))):
            _tell(who, job, wood)
        if (deal := deal_of(subject_of(quote))) is not None:
            expect(who, deal)
        return job


def _chosen(quote: Quote, option: QuoteOption | None) -> QuoteOption:
    options = list(quote.options.select_related("plan"))
    if option is None and len(options) == 1:
        return options[0]
    found = next((one for one in options if option is not None and one.pk == option.pk), None)
    if found is None:
        raise PlannerError("It is not said which of the boards is accepted.", mend="Choose one.", field="option")
    return found


def _begin(who: Member | None, facts: JobFacts, words: str, *, quote: Quote | None = None) -> tuple[Job, bool]:
    """The job, and whether a cut plan that was kept for the bare plan became its own."""
    job = Job.objects.create(**{**_fields_of(facts), "quote": quote})
    promises.want_wood(label=job.label, key=job.key)
    _tell(who, job, words)
    return job, _take_over_cut(who, job)


def _take_over_cut(who: Member | None, job: Job) -> bool:
    """A cut plan that was kept for the bare plan, and the boards promised to it, become the job's; it is told."""
    if job.plan is not None and (words := take_over(who=who, plan=job.plan, label=job.label, key=job.key)):
        _tell(who, job, words)
        return CutSheet.objects.filter(key=job.key).exists()
    return False


def _with_person(who: Member | None, facts: JobFacts) -> JobFacts:
    """A new name is written into the book of people."""
    return replace(facts, person=person_of(who, facts.person))


def _about_a_piece(facts: JobFacts, job: Job | None = None) -> None:
    """Raises PlannerError where an earlier piece is named and should not be, or the other way about."""
    if facts.kind not in AFTERWARDS:
        if facts.of is not None or facts.settled:
            raise PlannerError(
                "Only a repair, a remake or a complaint is about an earlier piece.",
                mend="Choose one of these kinds, or leave both empty.",
                field="of" if facts.of is not None else "settled",
            )
        return
    if facts.of is None:
        raise PlannerError("It is not said which piece it is about.", mend="Choose an earlier one.", field="of")
    if facts.of.state not in DONE:
        raise PlannerError(f"{facts.of.label} is not made yet.", mend="Choose a finished piece.", field="of")
    if not facts.settled:
        raise PlannerError("It is not said who bears it.", mend="Charge it, or choose the reserve.", field="settled")
    before: Job | None = facts.of
    while job is not None and before is not None:
        if before.pk == job.pk:
            raise PlannerError("A piece does not come after itself.", mend="Choose an earlier one.", field="of")
        before = before.of


def _fields_of(facts: JobFacts) -> dict[str, object]:
    return {name: getattr(facts, name) for name in facts.__dataclass_fields__}


def change_job(*, who: Member, job: Job, facts: JobFacts, seen_version: int, spend: Spend = lambda: None) -> Job:
    """Change what is known of a job, told in a sentence. Raises EditConflict when somebody else changed it meanwhile.
    The plan of a job that a quote made stays the quote's."""
    owner_only(who)
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update(of=("self",)).select_related("plan", "person", "of").get(pk=job.pk)
        check_version(job, seen_version)
        if job.quote_id is not None and facts.plan != job.plan:
            raise PlannerError("Its plan is the one that was quoted.", mend="Make another quote, or another job.")
        _about_a_piece(facts, job)
        before = job.plan_id
        if before is not None and facts.plan != job.plan:
            nothing_ticked(job)
        facts = _with_person(who, facts)
        told = changes_said(job, facts)
        if not told:
            return job
        if before is not None and facts.plan != job.plan and (free := free_evenings(job, before)):
            told.append(free)
        for name, value in _fields_of(facts).items():
            setattr(job, name, value)
        job.save()
        bump_version(job)
        promises.want_wood(label=job.label, key=job.key)
        _tell(who, job, " ".join(told))
        _take_over_cut(who, job)
    return job


def move_job(
    *,
    who: Member,
    job: Job,
    state: str,
    seen_version: int,
    with_open: str = "",
    learn: Collection[str] = (),
    wood: str = LEFT,
    spend: Spend = lambda: None,
) -> JobEvent:
    """Say how far a job is now. Beginning it takes its wood, all of it or nothing: ``wood`` is what was read of that
    (``Taking.seen``), or LEFT where it stays on the rack for now. Calling it off frees in the same transaction what is
    reserved for it, and brings back whole what is out and uncut, ``with_open`` being what was read of that
    (``Leaving.seen``). Finishing it asks that nothing is open, or ``with_open`` what was read of it
    (``StillOpen.seen``): what is reserved is then free, the time at what is to ``learn`` is done, and the rest is kept
    with the entry as it was left.

    Raises JobMoved where it is not as it was seen, or does not go there from where it is; ThingsOpen where something
    is open that was not read; WoodLacking and TakesOther where its start cannot take what was read."""
    if state not in AT_THE_BENCH:
        owner_only(who)
    up_again = job.state in OVER and state in (State.PLANNED, State.UNDER_WAY)
    evenings = evenings_anew(job) if up_again else None
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update(of=("self",)).select_related("plan").get(pk=job.pk)
        if job.edit_version != seen_version:
            raise JobMoved(f"{job.label} was changed meanwhile.", mend="Look at it as it is now.")
        if state not in NEXT[State(job.state)]:
            raise JobMoved(f"{job.label} is {job.get_state_display()}.", mend="Choose what comes after that.")
        leaving = leaving_of(job) if state == State.CALLED_OFF else None
        before, job.state = job.state, state
        job.save(update_fields=["state", "changed_at"])
        bump_version(job)
        if state == State.FINISHED and before == State.UNDER_WAY:
            return _finished(who, job, with_open, learn)
        if leaving is not None:
            if leaving and leaving.seen != with_open:
                raise ThingsOpen("Boards are out for it.", mend="Read what becomes of them, and call it off.")
            return _called_off(who, job, leaving)
        words = moved_said(job, before)
        if (before, state) == (State.PLANNED, State.UNDER_WAY):
            words = f"{words} {take_its_wood(who, job, wood)}".rstrip()
        elif (before, state) == (State.UNDER_WAY, State.PLANNED):
            words = f"{words} {put_its_wood_back(who, job)}".rstrip()
        elif up_again:
            words = f"{words} {book_them(who, evenings)}".rstrip()
        if before == State.CALLED_OFF and job.quote_id is not None and (deal := deal_of(subject_of(job.quote))):
            expect(who, deal)
        event = _tell(who, job, words)
        if state == State.HANDED_OVER:
            handing.handed_over(who, job)
        elif before == State.HANDED_OVER:
            handing.not_after_all(who, job)
        return event


def lay_face(*, who: Member | None, job: Job, down: bool, spend: Spend = lambda: None) -> str:
    """Say how a job's rows are laid from now on; what is so, in a sentence. Said again, nothing is written."""
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update().get(pk=job.pk)
        if job.state in CLOSED:
            raise PlannerError(f"{job.label} is {job.get_state_display()}.", mend="Nothing more is laid for it.")
        how = f"Its rows are laid face {'down, from the right' if down else 'up, from the left'}."
        if job.face_down != down:
            job.face_down = down
            job.save(update_fields=["face_down", "changed_at"])
            _tell(who, job, how)
    return f"{job.label}: {how[0].lower()}{how[1:]}"


def _finished(who: Member, job: Job, seen: str, learn: Collection[str]) -> JobEvent:
    found = open_of(job, who)
    if not found:
        free_evenings(job, job.plan_id)
        return _tell(who, job, moved_said(job, State.UNDER_WAY))
    if seen != found.seen:
        raise ThingsOpen(
            "Something else is open by now." if seen else "Something of it is still open.",
            mend="Settle it, or say that it is finished all the same.",
        )
    free_evenings(job, job.plan_id)
    words = [f"{job.label} is finished with things open."]
    if found.reserved:
        promises.release(who=who, pieces=found.reserved)
        free = [piece.mark for piece in found.reserved]
        words.append(f"{marks_said(free)} {'is' if len(free) == 1 else 'are'} free again.")
    learned = [key for key, _ in found.operations if key in learn]
    if learned:
        planned = counts_of_record(job.plan.record if job.plan else None)
        today = timezone.localdate()
        say_done(who=who, key=job.key, label=job.label, operations=learned, on=today, planned=planned)
    left = found.left(learned)
    return _tell(who, job, " ".join([*words, *left_said(left)]), left)


def _called_off(who: Member, job: Job, leaving: Leaving) -> JobEvent:
    reserved = reserved_for(job)
    if leaving.whole:
        promises.bring_all_back_whole(who=who, pieces=leaving.whole)
    if reserved:
        promises.release(who=who, pieces=reserved)
    free = [piece.mark for piece in reserved]
    words = [f"{job.label} was called off."]
    words += [f"{marks_said(free)} {'is' if len(free) == 1 else 'are'} free again."] if free else []
    whole = [piece.mark for piece in leaving.whole]
    words += [f"{marks_said(whole)} came back whole."] if whole else []
    left = {"waste": [piece.mark for piece in leaving.begun]} if leaving.begun else {}
    words += [*left_said(left), *filter(None, [free_evenings(job, job.plan_id)])]
    return _tell(who, job, " ".join([*words, *_nothing_more_owed(who, job, words[0])]), left)


def _nothing_more_owed(who: Member, job: Job, words: str) -> list[str]:
    """What becomes of the money of a quoted job that is called off, in a sentence where there is any."""
    if job.quote_id is None:
        return []
    key = subject_of(job.quote)
    stop_expecting(who, key, words)
    stands = standing(key)
    # Its first sentence says what was said already.
    return [stands.words.removeprefix("It was called off.").strip()] if stands is not None else []


def _tell(who: Member | None, job: Job, words: str, left: Mapping[str, object] | None = None) -> JobEvent:
    event = JobEvent.objects.create(job=job, who=who, state=job.state, words=words[:400], left=dict(left or {}))
    write_audit(who, words, job)
    return event
