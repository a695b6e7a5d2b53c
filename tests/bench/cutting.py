"""What cut plans cost and how long they take, beside others': `python -m tests.bench.cutting [--seconds 8] [FILE ...]`.

Files are instances as `tests/support/cut_instances.py` reads them; `--seeds 0-31` plans seeded jobs
(`tests/support/cut_makers.py`) instead, `--known 0-11` those whose optimum is known, `--pictures` nine of each of 16,
32 and 64 cells square. Printed, never asserted, one thread, processor seconds, all in one run:

    gap %     the plan's cost over its floor, at the end
    at 1 s .. the plan's cost then over the floor of the end, as a ratio
    ffd       the best of five first-fit-decreasing runs over the same floor
    general   a general solver's compact model (`tests/support/compact.py`) with the time the plan took, wood by wood
    best      the plan's cost over the best cost that is written in the file, or over the optimum
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from planner.cutting.plan import CutJob, CutPlan, faults_of, first_cut_plan, plan_cuts, prove_floor
from tests.support.compact import by_a_general_solver
from tests.support.cut_instances import job_of, plan_of
from tests.support.cut_makers import known_optimum, realistic

MARKS = (1.0, 2.0, 5.0, 8.0)
# Rough lengths a board has at the most in the compact model; with more it finds less in the same time.
LENGTHS = 3


@dataclass
class Told:
    gap: float
    near: float
    best: float


def main() -> None:
    args = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    args.add_argument("--seconds", type=float, default=8.0, help="processor seconds a plan may take")
    args.add_argument("--seeds", help="from-to of realistic jobs")
    args.add_argument("--known", help="from-to of jobs whose optimum is known")
    args.add_argument("--pictures", action="store_true", help="nine pictures of each of three sizes")
    args.add_argument("--no-general", action="store_true", help="leave the general solver out")
    args.add_argument("files", nargs="*", type=Path)
    asked = args.parse_args()
    marks = [mark for mark in MARKS if mark <= asked.seconds]
    print(f"{'':10}{'parts':>6}{'boards':>7}{'gap %':>7}", *(f"{f'at {mark:g} s':>8}" for mark in marks), end=" ")
    print(f"{'ffd':>8}{'general':>9}{'best':>8}{'first ms':>9}{'to 2 %':>7}{'end s':>7}{'proof s':>8}")
    told: dict[str, list[Told]] = {}
    for name, group, job, known in _jobs(asked):
        told.setdefault(group, []).append(_line(name, job, known, asked.seconds, marks, not asked.no_general))
    for group, lines in told.items():
        gaps, near = [one.gap for one in lines], [one.near for one in lines]
        bests = [one.best for one in lines if one.best == one.best]
        print(f"{group}: gap mean {statistics.mean(gaps):.2f} %, worst {max(gaps):.2f} %;", end=" ")
        print(f"to 2 % median {statistics.median(near):.2f} s, worst {max(near):.2f} s", end="")
        print(f"; over the best: mean {statistics.mean(bests):.4f}, worst {max(bests):.4f}" if bests else "")


def _jobs(asked: argparse.Namespace) -> Iterator[tuple[str, str, CutJob, int | None]]:
    for path in sorted(asked.files):
        file = json.loads(path.read_text())
        job = job_of(file["instance"])
        theirs = plan_of(file["plan"], job)
        if theirs.cost != file["best_known_cost"] or faults_of(theirs, job):
            print(f"{path.stem}: the plan in the file is not what it says")
        yield path.stem, "files", job, file["best_known_cost"]
    for seed in _span(asked.seeds):
        yield f"seed {seed}", "seeds", realistic(seed), None
    for seed in _span(asked.known):
        yield f"known {seed}", "known", *known_optimum(seed)
    for size in (16, 32, 64) if asked.pictures else ():
        for seed in range(9):
            yield f"{size} n{seed}", f"{size} square", realistic(1000 * size + seed, (size, size)), None


def _span(told: str | None) -> range:
    if not told:
        return range(0)
    first, _, last = told.partition("-")
    return range(int(first), int(last or first) + 1)


def _line(name: str, job: CutJob, known: int | None, seconds: float, marks: list[float], general: bool) -> Told:
    began = time.process_time()
    first = first_cut_plan(job)
    first_ms = 1000 * (time.process_time() - began)
    began = time.process_time()
    within: list[float] = []
    costs = dict.fromkeys(marks, first.cost)

    def tell(plan: CutPlan) -> None:
        now = time.process_time() - began
        if not within and plan.floor and plan.cost <= plan.floor * 1.02:
            within.append(now)
        for mark in marks:
            if now <= mark:
                costs[mark] = min(costs[mark], plan.cost)

    plan = plan_cuts(job, lambda: time.process_time() - began < seconds, steps=10**9, tell=tell)
    took = time.process_time() - began
    began = time.process_time()
    proved = sum(prove_floor(one, job) for one in plan.floors)
    proof = time.process_time() - began
    if proved < plan.floor or faults_of(plan, job):
        print(f"{name}: the plan is not sound")
    floor = max(plan.floor, 1)
    theirs = _general(job, took) / floor if general else float("nan")
    best = plan.cost / known if known else float("nan")
    near = within[0] if within else float("inf")
    print(f"{name:10}{sum(part.count for part in job.parts):6}{len(job.stock):7}", end="")
    print(f"{100 * (plan.cost - floor) / floor:7.2f}", *(f"{costs[mark] / floor:8.4f}" for mark in marks), end=" ")
    print(
        f"{first.cost / floor:8.4f}{theirs:9.4f}{best:8.4f}{first_ms:9.1f}{near:7.2f}{took:7.2f}{proof:8.2f}",
        flush=True,
    )
    return Told(100 * (plan.cost - floor) / floor, near, best)


def _general(job: CutJob, seconds: float) -> float:
    """What the general solver's plans cost, with a share of the time for every wood; no end where it finds none."""
    woods = list(dict.fromkeys(part.wood for part in job.parts))
    total = 0.0
    for wood in woods:
        of = CutJob(
            tuple(part for part in job.parts if part.wood == wood),
            tuple(board for board in job.stock if board.wood == wood),
            job.rules,
        )
        plan, _ = by_a_general_solver(of, seconds / len(woods), LENGTHS)
        if plan is None or faults_of(plan, of):
            return float("inf")
        total += plan.cost
    return total


if __name__ == "__main__":
    main()
