"""Tests shared out among processes (tests/support/parted.py) are each run once, in one process a file, and whatever
becomes of one is told."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
WELL = """
import os, pathlib, pytest
NUMBERS = pathlib.Path(__file__).with_suffix(".pids")
@pytest.mark.parametrize("number", range(3))
def test_well(number):
    with NUMBERS.open("a") as file:
        file.write(f"{os.getpid()} ")
"""
WRONG = """
def test_wrong():
    print("words of the one that is wrong")
    assert 1 + 1 == 3
def test_right():
    pass
"""
DEADLY = """
import os
def test_deadly():
    os._exit(7)
"""


def shared_out(folder: Path, *words: str) -> tuple[int, str]:
    command = [sys.executable, "-m", "pytest", "-p", "no:django", "-p", "no:cacheprovider"]
    command += ["-p", "tests.support.parted", "--parts", "2", "-rf", "--rootdir", str(folder), "-c", os.devnull]
    path = {**os.environ, "PYTHONPATH": str(ROOT)}
    answer = subprocess.run([*command, *words, str(folder)], env=path, cwd=folder, capture_output=True, text=True)
    return answer.returncode, answer.stdout + answer.stderr


def test_each_is_run_once_in_one_process_a_file_and_what_is_wrong_or_dies_is_told(tmp_path):
    for name in "abc":
        (tmp_path / f"test_{name}.py").write_text(WELL)
    assert shared_out(tmp_path)[0] == 0
    at = [(tmp_path / f"test_{name}.pids").read_text().split() for name in "abc"]
    assert [len(pids) for pids in at] == [3, 3, 3] and [len(set(pids)) for pids in at] == [1, 1, 1]
    assert 1 <= len({pid for pids in at for pid in pids}) <= 2
    (tmp_path / "test_d.py").write_text(WRONG)
    (tmp_path / "test_e.py").write_text(DEADLY)
    code, said = shared_out(tmp_path)
    assert code == 1 and "2 failed, 10 passed" in said
    assert "assert (1 + 1) == 3" in said and "words of the one that is wrong" in said
    assert "FAILED test_e.py::test_deadly" in said and "ended half-way (exit 7)" in said
    code, said = shared_out(tmp_path, "-x")
    assert code == 1 and "stopping after 1 failures" in said
