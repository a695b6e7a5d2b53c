"""Equal steps give an equal plan in whatever process, and planning a large picture takes little memory."""

import subprocess
import sys

import pytest

PLAN = """
import hashlib
from planner.cutting.plan import CutFile, plan_cuts, to_json
from tests.support.cut_makers import realistic
job = realistic(%d)
print(hashlib.sha256(to_json(CutFile(job, plan_cuts(job, steps=%d))).encode()).hexdigest())
"""
PEAK = """
import resource
from planner.cutting.plan import plan_cuts
from tests.support.cut_makers import realistic
plan_cuts(realistic(%d), steps=%d)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
"""


def said(code: str, seed: str = "0") -> str:
    made = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True, env={"PYTHONHASHSEED": seed}
    )
    return made.stdout.strip()


@pytest.mark.parametrize("seed", (2, 9))
def test_equal_steps_give_an_equal_plan_in_every_process(seed):
    # Python shuffles what is kept by hash anew in each process, unless it is told a seed.
    code = PLAN % (seed, 60)
    assert said(code, "1") == said(code, "2")


@pytest.mark.skipif(sys.platform != "linux", reason="the peak is in other units elsewhere")
def test_a_picture_of_64_by_64_is_planned_in_less_than_250_megabytes():
    # Seed 28 is 64 by 64 cells; the steps reach well into the search for whole plans.
    assert int(said(PEAK % (28, 150))) < 250
