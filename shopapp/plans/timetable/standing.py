"""Which steps are ticked, by whom and when: the newest tick of each counts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from shopapp.plans.models import StepTick

from . import planning

# What a row's count without glue is ticked under, after the row's own key.
DRY = "/dry"


def ticked_of(keys: Sequence[str], boards: Sequence[Mapping] = ()) -> dict[str, datetime]:
    """The steps that are done, and when each was ticked. ``boards`` are what is made together by a timetable: a tick of
    one of them is kept under its own key, whatever number it has here. One query."""
    ticks = StepTick.objects.filter(key__in=[*keys, *(board["key"] for board in boards)]).order_by("pk")
    return {step: tick.at for step, tick in newest_ticks(ticks, keys, boards).items() if tick.done}


def newest_ticks(ticks: Iterable[StepTick], keys: Sequence[str], boards: Sequence[Mapping]) -> dict[str, StepTick]:
    """Of ``ticks``, the oldest first, the newest of each step that is of these keys or boards."""
    numbers = {board["key"]: n for n, board in enumerate(boards, start=1)} | dict.fromkeys(keys, 1)
    stands: dict[str, StepTick] = {}
    for tick in ticks:
        number = numbers.get(tick.key)
        step = tick.step if number == 1 else number and numbered(tick.step, number)
        if step:
            stands[step] = tick
    return stands


def number_of(step: str) -> int:
    """Which of the boards that are made together a step is of; 0 for what is no step's key.

    >>> number_of("1/row/7"), number_of("2.3/sand/1"), number_of("x")
    (1, 2, 0)
    """
    head = step.partition("/")[0].partition(".")[0]
    return int(head) if head.isascii() and head.isdigit() else 0


def numbered(step: str, number: int) -> str:
    """A board's own step as it is called where the board has that number; "" for what is another board's.

    >>> numbered("1.2/sand/1", 3), numbered("2/row/7", 3)
    ('3.2/sand/1', '')
    """
    return f"{number}{step[1:]}" if step[:2] in ("1/", "1.") else ""


def own_step(step: str, boards: Sequence[Mapping], key: str) -> tuple[str, str]:
    """Under which key a step of several boards is ticked, and what it is called there; ``key`` is of the first board.

    >>> own_step("2.3/sand/1", [{"key": "job 1"}, {"key": "job 2"}], "job 1")
    ('job 2', '1.3/sand/1')
    """
    number = number_of(step)
    if 1 < number <= len(boards):
        return boards[number - 1]["key"], f"1{step[len(str(number)) :]}"
    return key, step


def needs_dry_count(form: str, step: str) -> bool:
    """Whether a step glues pieces that are laid and counted without glue first."""
    return step in planning.dry_counts_in(form)
