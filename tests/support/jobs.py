"""Tasks for the worker's tests: ones that note, die, eat, sleep, refuse and break."""

from __future__ import annotations

import os
import signal
import time
import uuid
from pathlib import Path

from planner.errors import PlannerError
from shopapp.common.tasks import background


@background(name="note a line")
def note(words: str) -> None:
    (Path(os.environ["KERFSTEAD_TEST_NOTES"]) / uuid.uuid4().hex).write_text(words)


@background(name="die")
def die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


@background(name="die the first time")
def die_the_first_time(folder: str) -> None:
    mark = Path(folder) / "tried"
    if not mark.exists():
        mark.write_text("once")
        os.kill(os.getpid(), signal.SIGKILL)


@background(name="eat memory")
def eat_memory() -> None:
    bytearray(4 * 1024**3)


@background(name="sleep long")
def sleep_long() -> None:
    time.sleep(60)


@background(name="refuse")
def refuse() -> None:
    raise PlannerError("The picture is too bright.", mend="Bring a darker one.")


@background(name="break down")
def break_down() -> None:
    1 / 0  # noqa: B018


@background(name="sleep the first time")
def sleep_the_first_time() -> None:
    mark = Path(os.environ["KERFSTEAD_TEST_NOTES"]) / "pid"
    if not mark.exists():
        half = mark.with_suffix(".half")
        half.write_text(str(os.getpid()))
        half.rename(mark)
        time.sleep(60)


@background(name="wait aside until a note is there", aside_for=50)
def wait_aside_for(words: str) -> None:
    folder = Path(os.environ["KERFSTEAD_TEST_NOTES"])
    while words not in [path.read_text() for path in folder.iterdir()]:
        time.sleep(0.05)
    (folder / uuid.uuid4().hex).write_text(f"after {words}")


@background(name="sleep aside", aside_for=1)
def sleep_aside() -> None:
    time.sleep(60)
