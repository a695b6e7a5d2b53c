"""What cut plans cost and how long they take: `python -m tests.bench.cutting [--seconds 8] [FILE ...]`.

Files are instances as `tests/support/cut_instances.py` reads them; without any, seeded jobs are planned. Printed,
never asserted: the plan's cost over the floor, over the best of five first-fit-decreasing runs, and over the best
cost written in the file, with processor seconds to a gap of 2 % and to the end, one thread.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from pathlib import Path

from planner.cutting.plan import CutJob, CutPlan, faults_of, first_cut_plan, plan_cuts, prove
from tests.planner.cutting.plan.making import plausible
from tests.support.cut_instances import job_of, plan_of


def main() -> None:
    args = argparse.ArgumentParser(description=__doc__)
    args.add_argument("--seconds", type=float, default=8.0, help="processor seconds a plan may take")
    args.add_argument("files", nargs="*", type=Path)
    asked = args.parse_args()
    if asked.files:
        told = [(path.stem, json.loads(path.read_text())) for path in sorted(asked.files)]
        jobs = [(name, job_of(one["instance"]), one) for name, one in told]
    else:
        jobs = [(f"seed {seed}", plausible(seed, woods=3, tiles=300), None) for seed in range(6)]
    print(f"{'':8}{'parts':>7}{'cost':>10}{'floor':>10}{'gap %':>7}{'/first':>8}{'/best':>8}{'first ms':>9}", end="")
    print(f"{'to 2 % s':>9}{'end s':>7}{'proof s':>8}")
    gaps, best_ratios = [], []
    for name, job, known in jobs:
        plan, line = _timed(name, job, asked.seconds)
        best = float("nan")
        if known:
            theirs = plan_of(known["plan"], job)
            if theirs.cost != known["best_known_cost"] or faults_of(theirs, job):
                print(f"{name}: the plan in the file is not what it says")
            best = plan.cost / known["best_known_cost"]
            best_ratios.append(best)
        gaps.append(100 * (plan.cost - plan.floor) / plan.floor)
        print(line.format(best=best))
    print(f"gap: mean {statistics.mean(gaps):.2f} %, worst {max(gaps):.2f} %", end="")
    print(f"; cost over the best written: worst {max(best_ratios):.4f}" if best_ratios else "")


def _timed(name: str, job: CutJob, seconds: float) -> tuple[CutPlan, str]:
    began = time.process_time()
    first = first_cut_plan(job)
    first_ms = 1000 * (time.process_time() - began)
    began = time.process_time()
    within: list[float] = []

    def tell(plan: CutPlan) -> None:
        if not within and plan.floor and plan.cost <= plan.floor * 1.02:
            within.append(time.process_time() - began)

    plan = plan_cuts(job, lambda: time.process_time() - began < seconds, tell=tell)
    took = time.process_time() - began
    began = time.process_time()
    proved = sum(prove(one.prices, job) for one in plan.floors)
    proof = time.process_time() - began
    if proved != plan.floor or faults_of(plan, job):
        print(f"{name}: the plan is not sound")
    gap = 100 * (plan.cost - plan.floor) / plan.floor
    near = f"{within[0]:9.2f}" if within else f"{'-':>9}"
    pieces = sum(part.count for part in job.parts)
    line = f"{name:8}{pieces:7}{plan.cost:10}{plan.floor:10}{gap:7.2f}{plan.cost / first.cost:8.4f}{{best:8.4f}}"
    return plan, line + f"{first_ms:9.1f}{near}{took:7.2f}{proof:8.2f}"


if __name__ == "__main__":
    main()
