"""How the tests are found, the same in every process of a run: a part of a second saved here is saved five times."""

from __future__ import annotations

import gc
from collections.abc import Generator
from pathlib import Path

import pytest
from _pytest.doctest import DoctestModule

# Nearly all that is read stays to the end of the run; looked through as often as usual it takes a tenth of the time.
gc.set_threshold(100_000, 50, 100)


@pytest.hookimpl(wrapper=True)
def pytest_collect_file(file_path: Path) -> Generator[None, list[pytest.Collector], list[pytest.Collector]]:
    """Examples are looked for in files that have one. Elsewhere each function of each file would be asked for them, and
    the fixtures of all tests be looked up a second time."""
    found = yield
    if file_path.suffix == ".py" and b">>> " not in file_path.read_bytes():
        return [one for one in found if not isinstance(one, DoctestModule)]
    return found


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish() -> None:
    """Before it ends, pytest goes twice through all there is, to warn of what fails as it is given up; after thousands
    of tests that takes seconds, and what they left is given up with the process."""
    gc.freeze()
