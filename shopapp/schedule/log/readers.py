"""What the pages of the time log show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from django.db.models import QuerySet

from shopapp.common.templatetags.shop import value_in_words
from shopapp.people.models import Member
from shopapp.schedule.models import TimeEntry

from .homes import home_of
from .planning import (
    WHOLE,
    Standing,
    counts_of_record,
    how_far,
    operation_each,
    operation_words,
)
from .timed import Timed

Kind = TimeEntry.Kind


@dataclass(frozen=True)
class EntryLine:
    """An entry as it is told: what became of it, and whether whoever looks may mend it."""

    entry: TimeEntry
    mine: bool
    timed: Timed | None = None

    @property
    def words(self) -> str:
        return operation_words(self.entry.operation)

    @property
    def stands(self) -> bool:
        return self.entry.kind != Kind.TAKEN_BACK and self.replaced_by is None

    @property
    def replaced_by(self) -> TimeEntry | None:
        return getattr(self.entry, "mended_by", None)

    @property
    def fate(self) -> str:
        """What became of an entry that does not count, or how it came."""
        after = self.replaced_by
        if self.entry.kind == Kind.TAKEN_BACK:
            return "put back since" if after else ""
        if after is not None:
            return "taken back" if after.kind == Kind.TAKEN_BACK else "mended"
        return "mended from another" if self.entry.mends_id else ""

    @property
    def may_mend(self) -> bool:
        """Also what was taken back can be written anew, while nothing took its place."""
        return self.mine and self.replaced_by is None and self.entry.kind != Kind.DONE

    @property
    def may_take_back(self) -> bool:
        return self.mine and self.stands

    @property
    def amount(self) -> str:
        """How much was done, where it was said."""
        return amount_words(self.entry.operation, Fraction(self.entry.count)) if self.entry.count else ""

    @property
    def mend(self) -> str:
        """Where it is mended; only of lines that know whose time it is."""
        return self.timed.to("time_entry", self.entry.pk) if self.timed else ""

    @property
    def back(self) -> str:
        return self.timed.to("time_back", self.entry.pk) if self.timed else ""

    @property
    def home(self) -> str:
        return home_of(self.entry.key)


@dataclass(frozen=True)
class OperationLine:
    """An operation of one piece of work: what is written down of it beside what the plan thought. ``thought`` is the
    plan's figure of minutes, None where no plan has it."""

    key: str
    words: str
    standing: Standing | None
    planned: Fraction | None
    thought: Mapping | None

    @property
    def minutes(self) -> Fraction:
        return self.standing.minutes if self.standing else Fraction(0)

    @property
    def done(self) -> str:
        """How far it has come, in words."""
        if self.standing is None:
            return "nothing yet"
        if self.standing.finished:
            return f"done{self._counted()}"
        counted = self._counted()
        return f"under way{counted}" if counted else "under way"

    def _counted(self) -> str:
        count = self.standing.count if self.standing else None
        return f", {amount_words(self.key, count)}" if count is not None else ""

    @property
    def open(self) -> bool:
        return self.standing is not None and not self.standing.finished


def amount_words(operation: str, count: Fraction) -> str:
    """How much was done, as it is read: "6 rows", "50 %"."""
    unit = "share" if operation == WHOLE else operation_each(operation)
    return value_in_words({"value": ["fraction", str(count)], "unit": unit}, None)


@dataclass(frozen=True)
class TimePage:
    """Everything one piece of work's page of time shows; ``minutes`` are all that stand in its log."""

    timed: Timed
    operations: list[OperationLine]
    entries: list[EntryLine]
    minutes: int
    record: Mapping | None

    @property
    def hours(self) -> Mapping | None:
        return self.record["figures"]["hours"] if self.record else None

    @property
    def careful(self) -> Mapping | None:
        return self.record["figures"].get("hours_careful") if self.record else None

    @property
    def open_operations(self) -> list[str]:
        return [line.key for line in self.operations if line.open]

    @property
    def written(self) -> dict:
        """All minutes written down, as a figure with a term an operation."""
        terms = [
            {"name": line.words, "figure": _figure(line.minutes, "min", "what stands in the log, added up")}
            for line in self.operations
            if line.minutes
        ]
        return {**_figure(Fraction(self.minutes, 60), "h", "minutes written down, added up, ÷ 60"), "terms": terms}


def _figure(value: Fraction, unit: str, rule: str) -> dict:
    return {"value": ["fraction", str(value)], "unit": unit, "rule": rule, "source": "", "terms": []}


def entries_of(key: str) -> QuerySet[TimeEntry]:
    """Newest first, those too that do not count any more."""
    return TimeEntry.objects.filter(key=key).select_related("by", "mended_by").order_by("-pk")


def time_page(timed: Timed, who: Member) -> TimePage:
    """One query."""
    entries = list(entries_of(timed.key))
    lines = [EntryLine(entry, who.is_owner or entry.by_id == who.pk, timed) for entry in entries]
    standing = [line.entry for line in reversed(lines) if line.stands]
    far, planned = how_far(standing), counts_of_record(timed.record)
    thought = _thought(timed.record)
    keys = [*planned, *(key for key in far if key not in planned and key != WHOLE), WHOLE]
    operations = [
        OperationLine(key, operation_words(key), far.get(key), planned.get(key), thought.get(operation_words(key)))
        for key in keys
    ]
    return TimePage(
        timed,
        [line for line in operations if line.planned or line.standing],
        lines,
        sum(entry.minutes for entry in standing),
        timed.record,
    )


def _thought(record: Mapping | None) -> dict[str, Mapping]:
    """What a plan's record thought each operation would take, by its words."""
    if record is None:
        return {}
    return {term["name"]: term["figure"] for term in record["figures"]["hours"]["terms"]}


def whole_log() -> QuerySet[TimeEntry]:
    """The shop's whole log, newest first."""
    return TimeEntry.objects.select_related("by", "mended_by").order_by("-pk")


def log_lines(entries: list[TimeEntry], who: Member) -> list[EntryLine]:
    return [EntryLine(entry, who.is_owner or entry.by_id == who.pk) for entry in entries]


def members(who: Member) -> list[Member]:
    """Whose time ``who`` may write down: everybody's or their own. The one who writes comes first."""
    if not who.is_owner:
        return [who]
    return [who, *Member.objects.filter(is_active=True).exclude(pk=who.pk).order_by("username")]
