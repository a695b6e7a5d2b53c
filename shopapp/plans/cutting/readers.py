"""What the pages of a cut plan show: the newest search or sheet of a key, and what to wish from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.tasks import task_state
from shopapp.lumber.looks import WoodSeen, woods_seen
from shopapp.lumber.models import StockPiece
from shopapp.plans.models import CutSearch, CutSheet
from shopapp.plans.planning import along_of, kind_words, looks_of
from shopapp.workshop.models import Workshop

from . import actions, planning
from .pieces import ToCut
from .sheets import planning as sheets
from .sheets.steps import minutes_in, time_words
from .shown.planning import PlanSeen, seen
from .wanted import Cutting

_LOOK_BACK = 12
_HEAVY = ("form", "set_ups", "pieces")


def newest_search(cutting: Cutting) -> CutSearch | None:
    """Of the plan that is cut now, for a job may be given another. One query."""
    return CutSearch.objects.filter(key=cutting.key, plan=cutting.plan).select_related("plan").first()


def kept_sheets(cutting: Cutting) -> list[CutSheet]:
    """Newest first, without what makes them heavy. One query."""
    return list(CutSheet.objects.filter(key=cutting.key, plan=cutting.plan).select_related("kept_by").defer(*_HEAVY))


def names_of(cutting: Cutting) -> dict[str, str]:
    return {wood["wood"]: wood["name"] for wood in cutting.plan.record["woods"]}


def shop_of(workshop: Workshop, cut: CutSearch | CutSheet) -> Workshop:
    """The shop with the currency the amounts of a search or sheet are in."""
    shop = copy(workshop)
    shop.currency_symbol, shop.currency_exponent = cut.currency_symbol, cut.currency_exponent
    return shop


@dataclass(frozen=True)
class Looking:
    """A search as it stands. ``word`` is "waiting" or "looking" while it goes on, "ended" after it, "dropped" where
    the worker lost it; ``message`` says why it came to nothing. ``without`` is what the best plan found without the
    boards to be bought costs, None where no board is to be bought or nothing was found without."""

    search: CutSearch
    word: str
    message: str
    seen: PlanSeen | None
    without: Decimal | None
    shop: Workshop
    time: timedelta

    @property
    def saved(self) -> Decimal | None:
        """What the boards that would be bought spare, their price counted in; below nought where they cost more."""
        return None if self.without is None or self.seen is None else self.without - self.seen.searched

    @property
    def saved_shown(self) -> Decimal | None:
        return None if self.saved is None else abs(self.saved)

    @property
    def goes_on(self) -> bool:
        return self.word in ("waiting", "looking")

    @property
    def phase(self) -> str:
        """What the page offers: something else is offered when it changes."""
        return f"{'on' if self.goes_on else self.word}-{'found' if self.seen else 'nothing'}"

    @property
    def time_said(self) -> str:
        minutes, seconds = divmod(int(self.time.total_seconds()), 60)
        return f"{minutes} min {seconds} s" if minutes else f"{seconds} s"


_TASK_WORDS = {"waiting": "waiting", "working": "looking"}


def looking(search: CutSearch, cutting: Cutting, workshop: Workshop) -> Looking:
    """At most two queries."""
    word, message = "ended", search.trouble
    if search.is_running:
        state = task_state(search.task)
        word = _TASK_WORDS.get(state.word, "dropped")
        message = state.message
    shop = shop_of(workshop, search)
    plan = seen(search.best, names_of(cutting), search.pieces, search.wishes, shop) if search.best else None
    ends = search.ended_at or (timezone.now() if word == "looking" else search.heartbeat_at)
    time = max(ends - search.began_at, timedelta()) if search.began_at and ends else timedelta()
    return Looking(search, word, message, plan, _without_bought(search), shop, time)


def _without_bought(search: CutSearch) -> Decimal | None:
    """What the newest search of the same key, with the same wishes but for the boards to be bought, came to."""
    if not search.wishes.get("bought"):
        return None
    others = {name: value for name, value in search.wishes.items() if name != "bought"}
    before = CutSearch.objects.filter(key=search.key, plan=search.plan_id, pk__lt=search.pk, cost__isnull=False)
    for one in before.only("cost", "wishes")[:_LOOK_BACK]:
        if one.wishes == others:
            return one.cost_money
    return None


@dataclass(frozen=True)
class SheetSeen:
    """A kept plan as it was kept; ``set_ups`` its record, empty where there is none."""

    sheet: CutSheet
    seen: PlanSeen
    set_ups: Mapping
    shop: Workshop

    @property
    def time(self) -> str:
        """What all set-ups take."""
        return time_words(minutes_in([self.set_ups["minutes"]])) if self.set_ups else ""


def sheet_seen(sheet: CutSheet, cutting: Cutting, workshop: Workshop) -> SheetSeen:
    shop = shop_of(workshop, sheet)
    plan = seen(sheet.form, names_of(cutting), sheet.pieces, sheet.wishes, shop)
    return SheetSeen(sheet, plan, sheet.set_ups_record, shop)


def drawn(text: str, cutting: Cutting, workshop: Workshop) -> dict[str, object]:
    """The boards of a plan drawn to scale, and what the drawings' hatches mean, for plans/cutting/sheets/_boards.html.
    No query."""
    looks = looks_of(cutting.plan.record)
    boards = sheets.boards(sheets.cut_file(text), looks, workshop.unit)
    return {"boards": boards, "key": sheets.key_of(looks[boards[0].wood]) if boards else []}


@dataclass(frozen=True)
class FirstLook:
    """What a plan would be that nobody asked for yet, or why there is none; worked out anew each time, never kept."""

    text: str
    seen: PlanSeen | None
    trouble: PlannerError | None
    search_may_help: bool


def first_look(cutting: Cutting, workshop: Workshop, wishes: Mapping, free: ToCut) -> FirstLook:
    """No query."""
    record = cutting.plan.record
    try:
        frozen = actions.frozen(cutting, workshop, wishes, free)
        first = planning.first_plan(frozen.text, record, workshop)
    except planning.NoRoomYet as error:
        return FirstLook("", None, error, True)
    except planning.CutPlanError as error:
        return FirstLook("", None, error, False)
    return FirstLook(first.text, seen(first.text, names_of(cutting), frozen.pieces, wishes, workshop), None, False)


@dataclass(frozen=True)
class OfWood:
    """Free pieces of one wood to leave out; ``more`` are free and not looked at."""

    wood: WoodSeen
    pieces: list[StockPiece]
    more: int


def of_woods(cutting: Cutting, free: ToCut) -> list[OfWood]:
    """One query."""
    looks = woods_seen()
    groups = {wood["wood"]: OfWood(looks[wood["wood"]], [], free.more.get(wood["wood"], 0)) for wood in _woods(cutting)}
    for piece in free.pieces:
        groups[piece.wood].pieces.append(piece)
    return list(groups.values())


def _woods(cutting: Cutting) -> Sequence[Mapping]:
    return cutting.plan.record["woods"]


def shades_of(free: ToCut) -> dict[str, list[str]]:
    found: dict[str, set[str]] = {}
    for piece in free.pieces:
        if piece.lot.shade:
            found.setdefault(piece.wood, set()).add(piece.lot.shade)
    return {wood: sorted(shades) for wood, shades in found.items()}


def kinds_of(cutting: Cutting) -> list[tuple[str, str]]:
    """Kinds of part, in the record's order, and what they are called on this board."""
    record = cutting.plan.record
    along = along_of(record)
    return [(kind, kind_words(kind, along)) for kind in dict.fromkeys(part["kind"] for part in record["parts"])]


def is_newer(search: CutSearch | None, kept: Sequence[CutSheet]) -> bool:
    """Whether a search is what the page is about, rather than the newest sheet."""
    if search is None:
        return False
    newest: datetime | None = kept[0].kept_at if kept else None
    return search.is_running or newest is None or search.asked_at > newest
