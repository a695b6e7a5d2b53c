"""Several processes that act on the tests' own database in the same moment."""

from __future__ import annotations

import os
import signal
import sys
import traceback

from django.db import connections

# Long after whoever waits for a lock has given up.
MOST_SECONDS = 240


def at_once(script: str, *arguments: object, how_many: int = 4) -> list[str]:
    """What each of ``how_many`` processes says that run ``script``, none of them failing. Each finds its number in
    ``sys.argv[1]`` and ``arguments`` behind it. They part from the test's own process, which has the app read; none has
    a connection before, and all begin when the last of them is there."""
    act = compile(script, "<at once>", "exec")
    connections.close_all()
    held, start = os.pipe()
    said, parts = [], []
    for number in range(how_many):
        out, into = os.pipe()
        pid = os.fork()
        if pid == 0:
            os.close(start)
            _act(act, into, held, [str(number), *map(str, arguments)])
        os.close(into)
        said.append(out)
        parts.append(pid)
    os.close(held)
    os.close(start)
    answers = []
    for out in said:
        with os.fdopen(out) as told:
            answers.append(told.read().strip())
    codes = [os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) for pid in parts]
    assert codes == [0] * how_many, "\n".join(answers)
    return answers


def _act(act, into: int, held: int, arguments: list[str]) -> None:
    """In a part: run the script when the start is given; never comes back."""
    code = 1
    try:
        signal.alarm(MOST_SECONDS)
        sys.argv = ["-c", *arguments]
        with os.fdopen(into, "w") as sys.stdout:
            # Nobody writes: it ends when whoever holds the start lets go.
            os.read(held, 1)
            try:
                exec(act, {"__name__": "__main__"})
                code = 0
            except BaseException:
                traceback.print_exc(file=sys.stdout)
    finally:
        os._exit(code)
