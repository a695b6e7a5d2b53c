"""A whole row spoiled, wanted besides or cut again: all its parts at once, and a row that was glued is glued again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

from django.db import transaction

from planner.errors import PlannerError
from shopapp.jobs.evenings import timetable_of
from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job, PartEntry
from shopapp.jobs.tonight.planning import facts_of
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from shopapp.plans.timetable.actions import take_ticks_back
from shopapp.plans.timetable.standing import DRY, own_step, ticked_of

from .actions import write_parts
from .counting import count_of, held
from .planning import Alike, alike_in, still_to_cut

Spend = Callable[[], None]
Kind = PartEntry.Kind
# What a row is chosen by, before its number.
ROW = "row "


@dataclass(frozen=True)
class Row:
    """A row of a plan that is laid of several pieces: of each size of part how many lie in it."""

    number: int
    parts: tuple[tuple[Alike, int], ...]

    @property
    def pieces(self) -> int:
        return sum(many for _, many in self.parts)

    @property
    def choice(self) -> tuple[str, str]:
        return f"{ROW}{self.number}", f"Row {self.number}, all {self.pieces} pieces"


def rows_in(plan: Plan) -> list[Row]:
    """None where rows are slices of panels, which are no parts by themselves."""
    record, alike = plan.record, {part: one for one in alike_in(plan) for part in one.parts}
    if record.get("panels"):
        return []
    found = []
    for laid in record["laid"]:
        several = Counter(alike[part] for part in laid["parts"])
        if several.total() > 1:
            found.append(Row(laid["number"], tuple(several.items())))
    return found


@dataclass(frozen=True)
class Written:
    """What was written of a row; ``glued_again`` where it stood as glued and its tick was taken back."""

    row: Row
    entries: list[PartEntry]
    glued_again: bool

    def __str__(self) -> str:
        many = sum(entry.count for entry in self.entries)
        said = f"Row {self.row.number}: {many} piece{'s' * (many != 1)}, {self.entries[0].get_kind_display()}."
        if self.glued_again:
            said += (
                " It is not glued any more: its tick was taken back. Plan the rest again, so that it has its evening."
            )
        return said


def write_row(
    *, who: Member | None, job: Job, kind: str, number: int, count: int, why: str = "", spend: Spend = lambda: None
) -> Written:
    """Write all parts of a row down, of ``count`` such rows; of what was cut again so many as had to be. Raises
    PlannerError, and writes nothing, for what cannot be."""
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update(of=("self",)).select_related("plan").get(pk=job.pk)
        row = next((one for one in rows_in(job.plan) if one.number == number), None) if job.plan else None
        if row is None:
            raise PlannerError("The plan has no such row.", mend="Choose one of its rows or parts.", field="part")
        said = f"row {number}: {why}" if why.strip() else ""
        entries = []
        for alike, many in row.parts:
            wanted = many * count
            if kind == Kind.AGAIN:
                wanted = min(wanted, still_to_cut(alike, count_of(held(job), alike)))
            if wanted:
                part = alike.parts[0]
                entries.append(write_parts(who=who, job=job, kind=kind, part=part, count=wanted, why=said))
        if not entries:
            raise PlannerError(f"Nothing of row {number} is to be cut again.", mend="Look at the list.", field="part")
        return Written(row, entries, kind == Kind.SPOILED and _glued_again(who, job, number))


def _glued_again(who: Member | None, job: Job, number: int) -> bool:
    """The ticks of a row that is not dressed yet are taken back; whether there were any. Of several copies nobody knows
    which it was."""
    if int(job.plan.record["spec"]["quantity"]) > 1:
        return False
    making = making_of_job(job.pk)
    kept, board = timetable_of(job)
    stands = ticked_of(making.keys)
    of_it = f"1/row/{number}"
    steps = [step for step in stands if step == of_it or step.startswith(f"{of_it}/")]
    if kept is None or making.closed or not any(not step.endswith(DRY) for step in steps):
        return False
    dresses = [
        own_step(key, kept.boards, job.key)[1]
        for key, facts in facts_of(kept.form).items()
        if facts.step.kind == "dress" and facts.step.board == board and number in facts.step.rows
    ]
    # Dressed, it lies in the field; what is to be done then is for whoever stands there to say.
    if not dresses or any(key in stands for key in dresses):
        return False
    take_ticks_back(who=who, making=making, steps=steps)
    return True
