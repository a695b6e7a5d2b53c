"""The tools' own word on style and types, as part of the suite."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOOLS = [
    ("ruff", "check", "."),
    ("ruff", "format", "--check", "."),
    ("mypy", "planner"),
]


@pytest.mark.parametrize("tool", TOOLS, ids=" ".join)
def test_style_and_types_hold(tool):
    answer = subprocess.run([sys.executable, "-m", *tool], cwd=ROOT, capture_output=True, text=True)
    assert answer.returncode == 0, answer.stdout + answer.stderr
