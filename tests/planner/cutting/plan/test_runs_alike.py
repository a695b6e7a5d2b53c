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
# The system's usage of a child begins with its parent's; what the process itself held at most is told here.
PEAK = """
import re
from planner.cutting.plan import plan_cuts
from tests.support.cut_makers import realistic
plan_cuts(realistic(%d), steps=%d)
print(int(re.search(r"VmHWM:\\s*(\\d+) kB", open("/proc/self/status").read())[1]) // 1024)
"""


def said(code: str, seed: str = "0") -> str:
    made = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True, env={"PYTHONHASHSEED": seed}
    )
    return made.stdout.strip()


@pytest.mark.parametrize("seed", (9,))
def test_equal_steps_give_an_equal_plan_in_every_process(seed):
    # Python shuffles what is kept by hash anew in each process, unless it is told a seed.
    code = PLAN % (seed, 60)
    assert said(code, "1") == said(code, "2")


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells it there")
def test_a_picture_of_64_by_64_is_planned_in_less_than_250_megabytes():
    # Seed 28 is 64 by 64 cells; the steps reach well into the search for whole plans.
    assert int(said(PEAK % (28, 150))) < 250
