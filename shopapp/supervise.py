"""`manage.py up`: the data made ready, then the web server and the worker kept running, and ended together."""

from __future__ import annotations

import argparse
import ctypes
import hashlib
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from shopapp.bootstrap import BASE, Stop, read, say, write

PAUSE_BEFORE_RESTART = 2
PATIENCE = 15
MANAGE = str(Path(BASE) / "manage.py")


def up(argv: list[str]) -> int:
    """Make ready and serve until somebody ends it. Returns the exit code."""
    options = _options(argv)
    data = Path(os.environ["KERFSTEAD_DATA"])
    if options.no_serve:
        _make_ready(data)
        return 0
    _check_port(options.host, options.port)
    _make_ready(data)
    return _serve(options.host, options.port, data)


def _options(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="manage.py up", description="Starts Kerfstead on this machine.")
    parser.add_argument("--host", default="127.0.0.1", help="address to listen at (this machine only by default)")
    parser.add_argument("--port", type=int, default=8000)
    parser.add_argument("--no-serve", action="store_true", help="make everything ready, then end")
    return parser.parse_args(argv)


def _check_port(host: str, port: int) -> None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise Stop(
                f"Port {port} at {host} cannot be used ({error.strerror}): end what uses it, "
                f"or start with --port {port + 1}."
            ) from error


def _make_ready(data: Path) -> None:
    """Fonts, collected files, database, and on the first start a way to sign in."""
    from shopapp.webfonts import write_web_fonts

    write_web_fonts(data / "web" / "fonts")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopapp.settings")
    import django
    from django.core.management import call_command
    from django.db.utils import OperationalError

    django.setup()
    try:
        call_command("migrate", verbosity=0, interactive=False)
    except OperationalError as error:
        raise Stop(
            f"The database cannot be opened ({str(error).strip()}): check DATABASE_URL and the data folder."
        ) from error
    _collect_static(data, call_command)
    if (data / "demo").exists():
        call_command("fill_demo")
    else:
        call_command("owner", first=True)


def _collect_static(data: Path, call_command) -> None:
    """Hashed and compressed copies of the page's files; seconds of work, so only when one of them changed."""
    folders = [Path(BASE) / "static", data / "web"]
    files = sorted(path for folder in folders for path in folder.rglob("*") if path.is_file())
    state = "".join(f"{path}{path.stat().st_mtime_ns}" for path in files) + read(
        Path(BASE) / "shopapp" / "requirements.lock"
    )
    stamp, wanted = data / "static.stamp", hashlib.sha256(state.encode()).hexdigest()
    if read(stamp) != wanted:
        call_command("collectstatic", verbosity=0, interactive=False, clear=True)
        write(stamp, wanted)


def _serve(host: str, port: int, data: Path) -> int:
    address = f"http://{'localhost' if host in ('127.0.0.1', '0.0.0.0', '::') else host}:{port}/"
    bind = f"[{host}]:{port}" if ":" in host else f"{host}:{port}"
    web_command = [sys.executable, "-m", "gunicorn", "shopapp.wsgi", "--bind", bind, "--workers", "2", "--threads", "4",
                   "--no-control-socket", "--log-level", "warning"]  # fmt: skip
    worker_command = [sys.executable, MANAGE, "worker"]
    ending = _Ending()
    web, worker = _start(web_command), _start(worker_command)
    said = False
    code = 0
    while not ending.asked:
        time.sleep(0.2)
        if web.poll() is not None:
            say("The web server ended by itself; what it said stands above.")
            code = 1
            break
        if worker.poll() is not None:
            say("The worker ended by itself and is started again.")
            time.sleep(PAUSE_BEFORE_RESTART)
            worker = _start(worker_command)
        if not said and _answers(port, host):
            said = True
            say(f"\nKerfstead is open at {address}  (Ctrl-C ends it)")
            say("Sign in as its first start said; `manage.py owner --reset` prints a new password.")
            if host not in ("127.0.0.1", "localhost", "::1"):
                say("It can be reached from other machines: put a proxy with TLS in front, as the README says.")
    for child in (web, worker):
        _end(child)
    return code


class _Ending:
    """Notes that somebody asked to end, by Ctrl-C or by the system."""

    def __init__(self) -> None:
        self.asked = False
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(number, self._note)

    def _note(self, *_: object) -> None:
        self.asked = True


def _start(command: list[str]) -> subprocess.Popen[bytes]:
    # In a session of its own, so that Ctrl-C reaches us and we end it in order.
    return subprocess.Popen(
        command,
        cwd=BASE,
        env={**os.environ, "KERFSTEAD_NO_BOOTSTRAP": "1"},
        start_new_session=True,
        preexec_fn=_die_with_parent if sys.platform == "linux" else None,
    )


def _die_with_parent() -> None:
    """Should the supervisor be killed outright, its children are not left behind (Linux, prctl PR_SET_PDEATHSIG)."""
    ctypes.CDLL(None).prctl(1, signal.SIGTERM)


def _end(child: subprocess.Popen[bytes]) -> None:
    if child.poll() is None:
        child.terminate()
    try:
        child.wait(PATIENCE)
    except subprocess.TimeoutExpired:
        child.kill()
        child.wait()


def _answers(port: int, host: str) -> bool:
    near = "127.0.0.1" if host in ("0.0.0.0", "localhost") else f"[{host}]" if ":" in host else host
    try:
        with urllib.request.urlopen(f"http://{near}:{port}/healthz", timeout=1) as answer:
            return answer.status == 200
    except OSError:
        return False
