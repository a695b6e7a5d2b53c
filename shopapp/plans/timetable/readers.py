"""What the pages of a timetable show, from its form; nothing here is worked out but days and what is ticked."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.core.cache import cache
from django.utils import timezone
from django.utils.formats import date_format

from planner.errors import PlannerError
from shopapp.common.tasks import task_state
from shopapp.plans.models import KeptTimetable, Plan, TimetableSearch
from shopapp.workshop import readers as workshop

from . import planning
from .asked import frozen
from .standing import DRY
from .wanted import Making, Other

MOST_OTHERS = 20


@dataclass(frozen=True)
class Bar:
    """What one bound says of the finish."""

    words: str
    day: datetime


@dataclass(frozen=True)
class Line:
    """One step of a session. ``off`` is when what it leaves alone is over the same day, ``hold`` minutes after hands
    left it, and ``left`` says what that is; ``holding`` whether something else is in clamps meanwhile; ``before`` is
    looked at before it is begun, ``writes`` is written on the wood; ``dry`` is "open" or "done" where pieces are
    counted without glue first. The first of several alike says in ``alike`` what all of them have in common."""

    key: str
    board: str
    words: str
    at: datetime
    minutes: int
    off: datetime | None
    hold: int
    overnight: bool
    holding: bool
    before: str
    writes: str
    left: planning.Left
    alike: str = ""
    dry: str = ""
    done: datetime | None = None

    @property
    def anchor(self) -> str:
        return anchor_of(self.key)


@dataclass(frozen=True)
class Card:
    opens: datetime
    closes: datetime
    used: int
    there: int
    lines: list[Line]
    overnight: list[tuple[str, list[str]]]
    cautions: Sequence[planning.Minded]
    precise: bool = True

    @property
    def grave(self) -> list[planning.Minded]:
        return [one for one in self.cautions if one.grave]

    @property
    def others(self) -> list[planning.Minded]:
        return [one for one in self.cautions if not one.grave]


@dataclass(frozen=True)
class Seen:
    """A timetable's answer. ``evenings`` are days on which something is done: what others have booked may part one in
    two. ``hands_minutes`` are those of its steps, each rounded up to whole slots, ``work_minutes`` before that.
    ``held`` says what holds it up, in a sentence without its stop; ``floor`` the day no timetable is done before;
    ``assumed`` names glue and finish whose times no data sheet stands behind; ``begun_late`` where it was begun as late
    as can be, and nobody who begins after ``latest`` is in time."""

    ready: datetime
    begins: datetime
    evenings: int
    hands_minutes: int
    work_minutes: int
    floor: datetime
    held: str
    is_proved: bool
    bars: list[Bar]
    due: date | None
    begun_late: bool
    latest: datetime | None
    cards: list[Card]
    remarks: Sequence[str]
    assumed: Sequence[str]
    advice: Sequence[str]
    finish_name: str
    cures: bool
    many_boards: bool

    @property
    def minded(self) -> list[planning.Minded]:
        """Every caution of its cards, once."""
        return list({one.name: one for card in self.cards for one in card.cautions}.values())

    @property
    def late(self) -> bool:
        return self.due is not None and self.ready > datetime.combine(self.due + timedelta(days=1), datetime.min.time())


def anchor_of(step: str) -> str:
    return "s-" + step.removesuffix(DRY).replace("/", "-").replace(".", "_")


def seen_of(
    form: str,
    first: date,
    wishes: Mapping,
    advice: Sequence[str] = (),
    ticked: Mapping[str, datetime] | None = None,
    today: date | None = None,
) -> Seen:
    """A form with times as pages show it. ``ticked`` as ``standing.ticked_of`` gives them; times of a session are said
    to the minute ``today`` only, or everywhere where no day is given."""
    opened = planning.Opened.of(form)
    cards = [_card(opened, one, first, ticked or {}, today) for one in planning.cards(opened)]
    bounds = opened.about["bounds"]
    finish = opened.timetable.finish
    return Seen(
        ready=planning.moment(first, finish),
        begins=cards[0].lines[0].at if cards else planning.moment(first, 0),
        evenings=len({card.opens.date() for card in cards}),
        hands_minutes=sum(card.used for card in cards),
        work_minutes=planning.work_minutes(opened),
        floor=planning.moment(first, bounds[0][1]),
        held=f"{planning.bound_words(bounds[0][0])} {_verb(bounds[0][0])} it up",
        is_proved=finish <= bounds[0][1],
        bars=[Bar(planning.bound_words(what), planning.moment(first, slot)) for what, slot in bounds],
        due=date.fromisoformat(wishes["due"]) if wishes.get("due") else None,
        begun_late=wishes.get("aim") == "by",
        latest=None if opened.about["latest"] is None else planning.moment(first, opened.about["latest"]),
        cards=cards,
        remarks=opened.about["remarks"],
        assumed=opened.about["assumed"],
        advice=advice,
        finish_name=opened.about["finish"],
        cures=opened.about["cures"],
        many_boards=len(opened.about["boards"]) > 1,
    )


def _verb(what: str) -> str:
    return "holds" if what == "path" else "hold"


def _card(opened, card, first: date, ticked: Mapping[str, datetime], today: date | None) -> Card:
    day = first + timedelta(days=card.day)
    midnight = datetime.combine(day, datetime.min.time())
    # What is over while somebody is there again the same day, another's booking between, does not stay overnight.
    later = {one.key: one.at for one in card.overnight}
    there_until = planning.there_until(opened, card.day)
    steps = {step.key: step for step in opened.steps}
    boards = opened.about["boards"]
    lines, said = [], set()
    shared = _shared([line.step for line in card.lines])
    for line in card.lines:
        step = line.step
        common = shared[step.kind]
        alike = "" if step.kind in said else common.words
        said.add(step.kind)
        stays = later.get(step.key, 0) > there_until
        off = line.off if step.key not in later or stays else later[step.key]
        dry = "" if not step.is_counted_dry else "done" if step.key + DRY in ticked else "open"
        lines.append(
            Line(
                key=step.key,
                board=boards[step.board - 1],
                words=step.words,
                at=midnight + timedelta(minutes=line.at),
                minutes=line.minutes,
                off=None if off is None else midnight + timedelta(minutes=off),
                hold=0 if off is None else off - line.at - line.minutes,
                overnight=stays,
                holding=any(planning.left_of(steps[key]).clamps for key in line.holding),
                before="; ".join(one for one in step.first if one not in common.first),
                writes="; ".join(one for one in step.writes if one not in common.writes),
                left=planning.left_of(step),
                alike=alike,
                dry=dry,
                done=ticked.get(step.key),
            )
        )
    return Card(
        opens=midnight + timedelta(minutes=card.opens),
        closes=midnight + timedelta(minutes=card.closes),
        used=card.hands_used,
        there=card.hands_there,
        lines=lines,
        overnight=_overnight([steps[one.key] for one in card.overnight if one.at > there_until]),
        cautions=[planning.caution_of(kind) for kind in card.cautions],
        precise=today is None or day == today,
    )


def _overnight(steps: Sequence) -> list[tuple[str, list[str]]]:
    """What is left alone when a session closes: how, and the words of each step that is left so."""
    found: dict[str, list[str]] = {}
    for step in steps:
        found.setdefault(planning.left_of(step).overnight, []).append(step.words)
    return list(found.items())


@dataclass(frozen=True)
class _Shared:
    """What several steps of one kind all say."""

    first: tuple[str, ...] = ()
    writes: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        writes = f"write on it: {', '.join(self.writes)}" if self.writes else ""
        return "; ".join([*self.first, *([writes] if writes else [])])


def _shared(steps: Sequence) -> dict[str, _Shared]:
    kinds: dict[str, list] = {}
    for step in steps:
        kinds.setdefault(step.kind, []).append(step)
    return {
        kind: _Shared(_common([one.first for one in alike]), _common([one.writes for one in alike]))
        if len(alike) > 1
        else _Shared()
        for kind, alike in kinds.items()
    }


def _common(several: Sequence[Sequence[str]]) -> tuple[str, ...]:
    return tuple(one for one in several[0] if all(one in other for other in several))


# --- searched and kept ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Looking:
    """A search as its page shows it: "waiting", "working" or "done", with what it found so far."""

    search: TimetableSearch
    word: str
    message: str
    seen: Seen

    @property
    def goes_on(self) -> bool:
        return self.word in ("waiting", "working")


def newest_search(making: Making) -> TimetableSearch | None:
    return TimetableSearch.objects.filter(key__in=making.keys, plan=making.plan).first()


def kept_of(making: Making) -> list[KeptTimetable]:
    """Those of its plan, the newest first; that one counts. What each says is fetched when it is asked for."""
    return list(KeptTimetable.objects.filter(key__in=making.keys, plan=making.plan).defer("form")[:10])


def looking(search: TimetableSearch) -> Looking:
    """At most one query."""
    word, message = "done", search.trouble
    if search.is_running:
        state = task_state(search.task)
        word = state.word if state.word in ("waiting", "working") else "done"
        if word == "done":
            message = state.message or "The search ended half-way; what it found until then stands."
    return Looking(search, word, message, seen_of(search.form, search.first, search.wishes, search.advice))


def first_look(making: Making, wishes: Mapping) -> Seen:
    """What the rules alone come to, from the cache when nothing it depends on has changed. Raises PlannerError."""
    wished = {
        **wishes,
        "aim": "soonest",
        "first": max(date.fromisoformat(wishes["first"]), timezone.localdate()).isoformat(),
    }
    job = frozen(making, wished)
    key = "timetable:" + hashlib.sha256(job.text.encode()).hexdigest()
    form = cache.get(key)
    if form is None:
        form = planning.first_times(job.text)
        cache.set(key, form, 600)
    return seen_of(form, job.first, wished)


def usual_wishes(making: Making) -> dict:
    """What a form begins with where nothing was wished before: by the day it is promised, else as soon as can be."""
    today = timezone.localdate()
    due = making.due if making.due and making.due > today else None
    adhesives, finishes = choices_of_materials()
    return {
        "first": today.isoformat(),
        "aim": "by" if due else "soonest",
        "due": due.isoformat() if due else None,
        "adhesive": adhesives[0][0],
        "finish": finishes[0][0],
        "in_hand": False,
        "together": [],
    }


def gets_there_otherwise(making: Making, kept: KeptTimetable) -> str:
    """Why a timetable's days are not those it takes as it gets there now; empty where they are. One query."""
    if making.closed or making.by_hand != planning.goes_by_carrier(kept.form):
        return ""
    if making.by_hand:
        return "It is handed over in person now; this timetable still counts the carrier’s days."
    days = workshop.the_workshop().carrier_days
    return "It goes by carrier now; this timetable counts no days of the carrier." if days else ""


def choices_of_materials() -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Glues and finishes in use, as a form offers them. Two queries."""
    adhesives, finishes = (
        [(row.choice, row.name) for row in rows] for rows in (workshop.adhesives(), workshop.finishes())
    )
    return adhesives, finishes


def other_plans(plan: Plan) -> list[Other]:
    """The newest kept plans besides, of which no job is made. One query. A drawing may have many: the number
    their papers bear tells them apart."""
    rows = Plan.objects.filter(jobs=None).exclude(pk=plan.pk).defer("inputs", "result")[:MOST_OTHERS]
    return [Other(f"plan {row.pk}", f"{row.title}, {_number_words(row)}", row.pk) for row in rows]


def _number_words(plan: Plan) -> str:
    return f"plan {plan.pk}, kept {date_format(timezone.localtime(plan.kept_at), 'j M')}"


@dataclass(frozen=True)
class Ready:
    """When it is ready, by what is kept or at a first look; or why that cannot be told."""

    seen: Seen | None = None
    kept: KeptTimetable | None = None
    trouble: str = ""


def ready_line(making: Making) -> Ready:
    kept = next(iter(kept_of(making)), None)
    if kept is not None:
        return Ready(seen_of(kept.form, kept.first, kept.wishes), kept)
    try:
        return Ready(first_look(making, usual_wishes(making)))
    except PlannerError as error:
        return Ready(trouble=str(error))
