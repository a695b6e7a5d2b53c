"""`manage.py test`: everything on this machine's SQLite mode and, beside it, what is marked `storage` on the other
mode and on PostgreSQL; `--full` runs all on all. Arguments go on to pytest; its exit code comes back."""

from __future__ import annotations

import contextlib
import os
import pwd
import shutil
import socket
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import IO

from shopapp.bootstrap import BASE, Stop, apt_install, may_apt, say, succeeds

# The one without windows is the same engine, opens a page in half of the time, and is taken where it is.
WITHOUT_WINDOWS = "chromium-headless-shell"
CHROMIUM = (WITHOUT_WINDOWS, "chromium", "chromium-browser", "google-chrome")
# Two more than the two cores the suite is meant for: three left a quarter of their time unused, for a browser's test
# waits about half of its own.
AT_ONCE = 4
# What tests start, some of it often, finds the app compiled, whatever else this machine is set to.
COMPILED = {"PYTHONDONTWRITEBYTECODE": ""}
# pytest's own word for "nothing was selected".
NOTHING_SELECTED = 5
MARKED = ["-m", "storage"]


def run(argv: list[str]) -> int:
    """Run the suite; the first exit code that is not nought, or nought."""
    full = "--full" in argv
    arguments = [word for word in argv if word != "--full"]
    # Whoever names tests wants those, on this machine's mode; the whole suite also asks the other databases.
    everywhere = full or not [word for word in arguments if not word.startswith("-")]
    from shopapp.webfonts import write_web_fonts

    write_web_fonts(Path(os.environ["KERFSTEAD_DATA"]) / "web" / "fonts")
    _see_to_chromium()
    _see_to_paper_reader()
    given = os.environ.pop("DATABASE_URL", "")
    here, other = _journal_modes()
    # Several at a time, unless the arguments may be about one process: a debugger, output as it comes.
    parallel = not arguments
    if given and not everywhere:
        return _pytest("PostgreSQL, as DATABASE_URL says", arguments, {"DATABASE_URL": given})

    def here_first() -> int:
        return _pytest(f"SQLite, {here} journal", arguments, {"KERFSTEAD_JOURNAL": here}, parallel=parallel)

    if parallel and not full:
        codes = _beside(here_first, lambda said: _elsewhere(given, other, MARKED, said=said))
    else:
        codes = [here_first()]
        if everywhere:
            only = arguments if full else [*arguments, *MARKED]
            codes += _elsewhere(given, other, only, parallel=parallel)
    return next((code for code in codes if code), 0)


def _beside(first: Callable[[], int], others: Callable[[IO[str]], list[int]]) -> list[int]:
    """What ``first`` and ``others`` answer, run at once; what the others say is kept back until the first has ended."""
    with tempfile.TemporaryFile("w+") as said, ThreadPoolExecutor(1) as aside:
        later = aside.submit(others, said)
        codes = [first()]
        try:
            return codes + later.result()
        finally:
            said.seek(0)
            say(said.read())


def _elsewhere(
    given: str, journal: str, arguments: list[str], *, parallel: bool = False, said: IO[str] | None = None
) -> list[int]:
    """The exit codes on the other journal and on PostgreSQL, where there is one."""
    how = {"parallel": parallel, "said": said}
    codes = [_pytest(f"SQLite, {journal} journal", arguments, {"KERFSTEAD_JOURNAL": journal}, **how)]
    with _postgres(given) as url:
        if url:
            codes.append(_pytest("PostgreSQL", arguments, {"DATABASE_URL": url}, **how))
    # Tests named by folder need not hold one of those we chose by their mark.
    return [0 if code == NOTHING_SELECTED and MARKED[1] in arguments else code for code in codes]


def _pytest(
    where: str,
    arguments: list[str],
    environment: dict[str, str],
    *,
    parallel: bool = False,
    said: IO[str] | None = None,
) -> int:
    """pytest's exit code; its words go to the terminal, or into ``said``."""
    print(f"\n=== {where} ===", file=said, flush=True)
    command = [
        sys.executable,
        "-m",
        "pytest",
        *(["-n", str(AT_ONCE), "--dist", "loadfile", "--no-loadscope-reorder"] if parallel else []),
        *arguments,
    ]
    told = {"stdout": said, "stderr": subprocess.STDOUT} if said else {}
    return subprocess.run(command, cwd=BASE, env={**os.environ, **COMPILED, **environment}, **told).returncode


def _journal_modes() -> tuple[str, str]:
    """The journal this machine's SQLite gets, and the other one."""
    from shopapp.env import safe_journal_mode

    here = safe_journal_mode(sqlite3.sqlite_version_info)
    return here, "DELETE" if here == "WAL" else "WAL"


def _missing(what: str, mend: str) -> None:
    """Say loudly what will be skipped; where CI counts on everything, that is a failure."""
    words = f"{what} is missing, so its tests are skipped: {mend}"
    if os.environ.get("CI") == "true":
        raise Stop(words)
    say(f"\n!!! {words} !!!\n")


def _see_to_chromium() -> None:
    if not shutil.which(WITHOUT_WINDOWS) and may_apt() and succeeds(["apt-cache", "show", WITHOUT_WINDOWS]):
        say("Installing the Chromium without windows for the browser tests")
        apt_install([WITHOUT_WINDOWS])
    wanted = [] if _has_chromium() else ["chromium"]
    # What drives it needs one library that a small system may lack.
    wanted += [] if _driver_starts() else ["libatomic1"]
    if wanted and may_apt():
        say("Installing Chromium for the browser tests")
        apt_install(wanted)
    if not _has_chromium():
        _missing("Chromium", "install your system's chromium package.")
    elif wanted and not _driver_starts():
        _missing("What drives Chromium", "`.venv/bin/playwright --version` says why; on Debian it is libatomic1.")


def _has_chromium() -> bool:
    return any(shutil.which(name) for name in CHROMIUM)


def _driver_starts() -> bool:
    return succeeds([sys.executable, "-m", "playwright", "--version"])


def _see_to_paper_reader() -> None:
    """`pdftotext` reads the papers back as a maker's screen reader would."""
    if shutil.which("pdftotext") is None and may_apt():
        say("Installing poppler-utils for the papers' tests")
        apt_install(["poppler-utils"])
    if shutil.which("pdftotext") is None:
        _missing("pdftotext", "install your system's poppler-utils package.")


def _postgres_tool(name: str) -> str | None:
    """A PostgreSQL server tool, the newest of Debian's folders first; they are not on the PATH there."""
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda p: int(p.parent.name), reverse=True)
    found = [str(folder / name) for folder in folders if (folder / name).exists()]
    return (found or [shutil.which(name)])[0]


@contextlib.contextmanager
def _postgres(given: str) -> Iterator[str]:
    """The database the user named, or a server of our own on the loopback for as long as the tests run; its URL."""
    if given:
        yield given
        return
    if _postgres_tool("initdb") is None and may_apt():
        say("Installing PostgreSQL for the storage tests")
        apt_install(["postgresql"])
    initdb, pg_ctl = _postgres_tool("initdb"), _postgres_tool("pg_ctl")
    if initdb is None or pg_ctl is None:
        _missing("PostgreSQL", "install your system's postgresql package.")
        yield ""
        return
    folder = Path(tempfile.mkdtemp(prefix="kerfstead-postgres-"))
    as_whom = _not_root(folder)
    port = _free_port()
    log = folder / "log"
    try:
        for command in (
            [initdb, "-D", str(folder / "data"), "-U", "shop", "-A", "trust", "-E", "UTF8", "--no-sync"],
            [pg_ctl, "-D", str(folder / "data"), "-w", "-l", str(log), "-o",
             f"-p {port} -h 127.0.0.1 -k '' -c fsync=off -c full_page_writes=off", "start"],
        ):  # fmt: skip
            answer = subprocess.run([*as_whom, *command], cwd=folder, capture_output=True, text=True)
            if answer.returncode:
                said = (log.read_text() if log.exists() else "") + answer.stderr
                _missing(
                    "A PostgreSQL server that starts",
                    said.strip().splitlines()[-1] if said.strip() else "it said nothing.",
                )
                yield ""
                return
        yield f"postgres://shop@127.0.0.1:{port}/postgres"
    finally:
        subprocess.run(
            [*as_whom, pg_ctl, "-D", str(folder / "data"), "-m", "immediate", "stop"], cwd=folder, capture_output=True
        )
        shutil.rmtree(folder, ignore_errors=True)


def _not_root(folder: Path) -> list[str]:
    """PostgreSQL refuses to run as root: hand it the folder and become its own user."""
    if os.geteuid() != 0:
        return []
    for name in ("postgres", "nobody"):
        try:
            user = pwd.getpwnam(name)
        except KeyError:
            continue
        os.chown(folder, user.pw_uid, user.pw_gid)
        return ["runuser", "-u", name, "--"]
    return []


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
