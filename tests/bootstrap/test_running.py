"""`up` for real: it answers, says how to sign in, starts a dead worker again, and ends without leaving anything."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 120
LACKING = "source-serif-600.woff2"

pytestmark = pytest.mark.skipif(not Path("/proc").is_dir(), reason="reads the processes from /proc")


@pytest.fixture(scope="module")
def folder(web_fonts, tmp_path_factory):
    """The first start makes the maker's own shop ready in it, which takes seconds; the next ones find it. Of the fonts
    it finds all but one, for one tells as well as four that it cuts them."""
    folder = tmp_path_factory.mktemp("up")
    fonts = folder / "shop" / "web" / "fonts"
    fonts.mkdir(parents=True)
    for name in web_fonts.keys() - {LACKING}:
        (fonts / name).write_bytes(web_fonts[name])
    return folder


@pytest.fixture
def shop(folder):
    """Starts the maker's own shop on a free port; ended hard if the test did not end it."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    said = folder / f"said-{port}"
    environment = {
        **{name: value for name, value in os.environ.items() if name not in ("DATABASE_URL", "KERFSTEAD_JOURNAL")},
        "KERFSTEAD_DATA": str(folder / "shop"),
        # The environment stands already: the tests run in it.
        "KERFSTEAD_BOOTSTRAPPED": "up",
    }
    with said.open("w") as file:
        process = subprocess.Popen(
            [sys.executable, str(ROOT / "manage.py"), "up", "--shop", "--port", str(port)],
            cwd=folder,
            env=environment,
            stdout=file,
            stderr=subprocess.STDOUT,
            # Whatever started the tests may have told its children not to mind Ctrl-C.
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
        )
    yield Running(process, port, said)
    if process.poll() is None:
        process.kill()
        process.wait()


class Running:
    def __init__(self, process, port, said):
        self.process, self.port, self.said = process, port, said

    def wait_for(self, words: str) -> None:
        wait(lambda: words in self.said.read_text() or self.process.poll() is not None)
        assert words in self.said.read_text()

    def children(self) -> dict[int, str]:
        """Every process that runs on this shop's folder or port, but the first one."""
        found = {}
        for folder in Path("/proc").iterdir():
            if not folder.name.isdigit() or int(folder.name) == self.process.pid:
                continue
            try:
                words = (folder / "cmdline").read_bytes().replace(b"\0", b" ").decode()
                where = (folder / "environ").read_bytes()
            except OSError:
                continue
            if words and f"KERFSTEAD_DATA={self.said.parent}/shop".encode() in where:
                found[int(folder.name)] = words
        return found

    def worker(self) -> int | None:
        return next(
            (pid for pid, words in self.children().items() if words.rstrip().endswith("manage.py worker")), None
        )


def wait(until) -> None:
    ends = time.monotonic() + PATIENCE
    while not until() and time.monotonic() < ends:
        time.sleep(0.1)
    assert until()


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_shop_is_opened_kept_running_and_ended_in_order(shop, number):
    shop.wait_for("Kerfstead is open at")
    words = shop.said.read_text()
    # At the first start in this folder, and never again.
    every_start = "".join(said.read_text() for said in shop.said.parent.glob("said-*"))
    assert every_start.count("Sign in as owner with the password") == 1
    assert "Sign in as owner; a lost password:" in words
    assert f"http://localhost:{shop.port}/" in words
    assert (shop.said.parent / "shop" / "web" / "fonts" / LACKING).stat().st_size > 10_000
    with urllib.request.urlopen(f"http://127.0.0.1:{shop.port}/sign-in/") as page:
        assert page.status == 200

    first = shop.worker()
    os.kill(first, signal.SIGKILL)
    shop.wait_for("started again")
    wait(lambda: shop.worker() not in (None, first))

    shop.process.send_signal(number)
    assert shop.process.wait(PATIENCE) == 0
    assert shop.children() == {}


def test_a_supervisor_killed_outright_leaves_no_process_behind(shop):
    shop.wait_for("Kerfstead is open at")
    assert len(shop.children()) >= 3
    shop.process.kill()
    shop.process.wait()
    wait(lambda: shop.children() == {})
