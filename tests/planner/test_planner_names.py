"""The planner's front door: the names most used, fetched only when asked for."""

import subprocess
import sys
from pathlib import Path

import pytest

import planner

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("name", planner.__all__)
def test_every_name_at_the_front_door_leads_to_its_module(name):
    assert getattr(planner, name) is not None


def test_a_name_that_is_not_there_is_refused_as_python_does():
    with pytest.raises(AttributeError, match="no driftwood"):
        planner.driftwood  # noqa: B018


def test_reading_a_length_loads_neither_numpy_nor_pillow_nor_django():
    asked = (
        "import sys; from planner import parse_length; parse_length('3/8'); "
        "print(sorted({'numpy', 'PIL', 'django'} & set(sys.modules)))"
    )
    told = subprocess.run([sys.executable, "-c", asked], cwd=ROOT, capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
