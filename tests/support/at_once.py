"""Several processes that act on the tests' own database in the same moment."""

from __future__ import annotations

import json
import os
import subprocess
import sys

from django.conf import settings
from django.db import connection

# One process reads the app and what the script imports, and parts into as many as act: none has a connection before.
_PART = """
import json, os, sys, traceback
import django
django.setup()
script, how_many, *arguments = sys.argv[1:]
lines = script.splitlines()
imports = "\\n".join(line for line in lines if line.startswith(("import ", "from ")) and not line.endswith("("))
names = {}
exec(imports, names)
pipes = []
for number in range(int(how_many)):
    out, into = os.pipe()
    if os.fork():
        os.close(into)
        pipes.append(out)
        continue
    os.dup2(into, 1)
    sys.argv = ["-c", str(number), *arguments]
    code = 1
    try:
        exec(script, names)
        sys.stdout.flush()
        code = 0
    except BaseException:
        traceback.print_exc()
        sys.stderr.flush()
    os._exit(code)
answers = []
for pipe in pipes:
    with os.fdopen(pipe) as said:
        answers.append(said.read().strip())
codes = [os.waitstatus_to_exitcode(os.wait()[1]) for _ in pipes]
print(json.dumps({"answers": answers, "codes": codes}))
"""


def at_once(script: str, *arguments: object, how_many: int = 4) -> list[str]:
    """What each of ``how_many`` processes says that run ``script``, none of them failing. Each finds its number in
    ``sys.argv[1]`` and ``arguments`` behind it."""
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "tests.support.worker_settings",
        "KERFSTEAD_TEST_DATABASE": str(connection.settings_dict["NAME"]),
        "KERFSTEAD_TEST_PATIENCE": "10",
    }
    answer = subprocess.run(
        [sys.executable, "-c", _PART, script, str(how_many), *map(str, arguments)],
        env=environment,
        cwd=settings.BASE_DIR,
        capture_output=True,
        text=True,
        timeout=240,
    )
    assert answer.returncode == 0, answer.stderr
    told = json.loads(answer.stdout.splitlines()[-1])
    assert told["codes"] == [0] * how_many, answer.stderr
    return told["answers"]
