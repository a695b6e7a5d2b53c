"""One statement over many cases, for cases so small that a test of its own for each costs more than the looking."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable
from functools import wraps
from typing import Any

import pytest

# What `pytest.raises` and `pytest.fail` raise is no Exception.
WRONG = (Exception, pytest.fail.Exception)
MARKED = type(pytest.param())


def each(
    names: str | tuple[str, ...],
    cases: Iterable[Any] | Callable[[], Iterable[Any]],
    ids: Iterable[str] | Callable[[Any], str] = repr,
) -> Callable[[Callable], Callable]:
    """The test is asked of every case, as `pytest.mark.parametrize` would, but within one test: it goes through all of
    them and names those that fail. Only for tests that leave nothing behind; without a single case it fails.

    Cases that are worked out are a function, called as the test runs: every process of a run reads every file."""
    wanted = [name.strip() for name in names.split(",")] if isinstance(names, str) else list(names)
    cases = cases if callable(cases) else list(cases)
    called = [] if callable(ids) else list(ids)

    def for_all(test: Callable) -> Callable:
        signature = inspect.signature(test)

        @wraps(test)
        def through_all(**given: Any) -> None:
            told = list(cases()) if callable(cases) else cases
            assert told, "no case to look at"
            values = [_values(case, len(wanted)) for case in told]
            failed: dict[str, BaseException] = {}
            for number, mine in enumerate(values):
                try:
                    test(**given, **dict(zip(wanted, mine, strict=True)))
                except WRONG as wrong:
                    name = ids(told[number]) if callable(ids) else called[number]
                    failed[name] = wrong
            if failed:
                first = next(iter(failed.values()))
                words = "\n".join(f"{name}: {wrong}" for name, wrong in failed.items())
                raise AssertionError(f"{len(failed)} of {len(told)} cases fail\n{words}") from first

        left = [entry for name, entry in signature.parameters.items() if name not in wanted]
        through_all.__signature__ = signature.replace(parameters=left)  # type: ignore[attr-defined]
        return through_all

    return for_all


def _values(case: Any, count: int) -> tuple:
    if isinstance(case, MARKED):
        return tuple(case.values)
    return (case,) if count == 1 else tuple(case)
