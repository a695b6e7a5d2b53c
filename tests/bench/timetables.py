"""Timetables beside their bars: `python -m tests.bench.timetables [--long] [--seeds 2] [--first 0]`.

Boards that are known: finish beside the plain rule's (one board after another, every task as early as it can be) as a
ratio, and the floor. Cases drawn by chance (`tests.support.glue_cases`): one board, told where seeds differ, and
several boards beside the best of all seeds. Fewest sessions, starts for a date, and what one more of each thing is told
to bring beside what a longer search finds. Planning again. Seconds are of one thread's CPU; the short run takes less
than a minute on a quiet core, --long the full seconds and more cases. That one board is at its optimum takes an exact
solver to prove, which this house does not carry.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from dataclasses import replace

from planner.gluing import (
    Timetable,
    Work,
    advice,
    by_date,
    faults_of,
    fewest_possible,
    fewest_sessions,
    find_again,
    find_timetable,
    floor_of,
    sessions_of,
)
from planner.gluing.serial import scheme_of
from tests.support.glue_cases import case
from tests.support.glue_works import boards

ONE = [(side, 1, jigs, hands) for side in (8, 16, 24, 32) for jigs, hands in ((1, 1), (2, 1), (3, 2))]
SEVERAL = [(side, count, jigs, 1) for side, count in ((8, 4), (16, 2), (24, 3), (32, 4)) for jigs in (1, 2, 3)]
WEEK, HALF_A_DAY = 7 * 24 * 12, 12 * 12
MANY = 10**6


def within(seconds: float) -> Callable[[], bool]:
    ends = time.process_time() + seconds
    return lambda: time.process_time() < ends


def found_in(work: Work, seconds: float, seed: int = 1) -> Timetable:
    found = find_timetable(work, within(seconds), MANY, seed=seed)
    assert faults_of(found, work) == ()
    assert found.finish >= floor_of(work).finish
    return found


def known(seconds: float, several: list[tuple[int, int, int, int]]) -> None:
    print("side boards jigs hands | finish, floor, held by, over the floor, the rule's ratio, seconds")
    for side, count, jigs, hands in [*ONE, *several]:
        work = boards(side, count, jigs, hands, weeks=12)
        begun = time.process_time()
        found = found_in(work, seconds / 5 if count == 1 else seconds)
        took = time.process_time() - begun
        floor, scheme = floor_of(work), scheme_of(work)
        plain = scheme.put_in(scheme.order_by(list(range(len(work.tasks)))))
        rule = max(start + task.span + task.rest for start, task in zip(plain, work.tasks, strict=True))
        print(
            f"{side:>4}{count:>7}{jigs:>5}{hands:>6} |{found.finish:>7}{floor.finish:>7} {floor.what:<12}"
            f"{found.finish / floor.finish - 1:>6.1%}{rule / found.finish:>6.2f}{took:>6.2f}",
            flush=True,
        )


def by_chance(first: int, many: int, boards_each: int | None, seconds: float, seeds: int) -> None:
    gaps, met = [], 0
    for number in range(first, first + many):
        work = case(number, boards_each)
        if boards_each is None and len({task.board for task in work.tasks}) == 1:
            continue
        floor = floor_of(work).finish
        finishes = [found_in(work, seconds, seed).finish for seed in range(1, seeds + 1)]
        met += max(finishes) <= floor
        gaps += [finish / min(finishes) - 1 for finish in finishes]
        if len(set(finishes)) > 1:
            print(f"  case {number}: floor {floor}, by seed {finishes}", flush=True)
    what = "one board" if boards_each == 1 else "several boards"
    print(
        f"{what}, {seconds:g} s, {seeds} seeds: {met} cases on the floor; over the best of the seeds on average "
        f"{sum(gaps) / max(len(gaps), 1):.2%}, at worst {max(gaps, default=0):.2%}"
    )


def wishes(seconds: float) -> None:
    print(
        "side jigs | sessions: earliest, fewest, no fewer than; days later | start by a date, none later than, proved"
    )
    for side, jigs in ((8, 1), (8, 2), (16, 1), (16, 2), (24, 1), (24, 2)):
        work = boards(side, jigs=jigs)
        early = found_in(work, seconds)
        few = fewest_sessions(work, within(seconds), MANY)
        late = by_date(work, early.finish + WEEK, within(seconds), MANY)
        assert faults_of(few, work) == faults_of(late.timetable, work) == ()
        print(
            f"{side:>4}{jigs:>5} |{len(sessions_of(work, early.starts)):>4}{len(sessions_of(work, few.starts)):>4}"
            f"{fewest_possible(work, few.finish):>4}{(few.finish - early.finish) / 288:>6.1f} |"
            f"{late.start:>6}{late.latest or 0:>6}  {late.proved}",
            flush=True,
        )


def one_more(first: int, many: int, longer: float) -> None:
    """What is told beside what searches of ``longer`` seconds find without and with it."""
    right, told_of, false, missed = 0, 0, 0, 0
    for number in range(first, first + many):
        work = case(number)
        told = advice(work)
        without = min(found_in(work, longer).finish, told.timetable.finish)
        for one in told.more:
            if one.what not in {"jig", "hands"}:
                continue
            richer = replace(work, capacity={**work.capacity, one.what: work.capacity[one.what] + one.many})
            finish = min(found_in(richer, longer).finish, one.found.finish if one.found else without, without)
            pays, said = without - finish >= HALF_A_DAY, one.slots >= HALF_A_DAY
            told_of += 1
            right += pays == said
            false += said and not pays
            missed += pays and not said
    print(f"one more jig or person pays half a day: right {right} of {told_of}, {false} false, {missed} missed")


def again(first: int, many: int) -> None:
    slowest, later = 0.0, 0
    for number in range(first, first + many):
        work = case(number)
        work = replace(work, tasks=tuple(replace(task, name=str(i)) for i, task in enumerate(work.tasks)))
        stood = found_in(work, 0.5)
        begun = time.process_time()
        left = find_again(work, {task.name: at for task, at in zip(work.tasks, stood.starts, strict=True)})
        slowest = max(slowest, time.process_time() - begun)
        later += left.finish > stood.finish
    print(f"planned again, {many} cases: slowest {slowest:.2f} s, {later} done later than they stood")


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--long", action="store_true")
    asked.add_argument("--seeds", type=int, default=2)
    asked.add_argument("--first", type=int, default=0)
    told = asked.parse_args()
    many = 40 if told.long else 10
    known(10 if told.long else 1, SEVERAL if told.long else SEVERAL[3:6])
    by_chance(told.first, many, 1, 2 if told.long else 0.3, told.seeds)
    by_chance(told.first + 1000, many // 2, None, 10 if told.long else 1.5, told.seeds)
    wishes(4 if told.long else 0.7)
    one_more(told.first + 2000, many // 2, 10 if told.long else 0.5)
    again(told.first + 3000, many)


if __name__ == "__main__":
    main()
