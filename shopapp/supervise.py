"""`manage.py up`: the data made ready, then the web server and the worker kept running, and ended together."""

from __future__ import annotations

import argparse
import ctypes
import errno
import hashlib
import os
import shlex
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from shopapp.bootstrap import BASE, DEMO_DATA, SHOP_DATA, Stop, read, say, write

PAUSE_BEFORE_RESTART = 2
PATIENCE = 15
MANAGE = str(Path(BASE) / "manage.py")


def up(options: argparse.Namespace) -> int:
    """Make ready and serve until somebody ends it. Returns the exit code."""
    data = Path(os.environ["KERFSTEAD_DATA"])
    ending = _Ending()
    owners = _make_ready(data, ending)
    if options.no_serve or ending.asked:
        return 0
    return _serve(options.host, options.port, owners, ending)


def read_options(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="manage.py up", description="Starts Kerfstead on this machine.")
    parser.add_argument("--shop", action="store_true", help="open your own shop instead of the demo")
    parser.add_argument("--host", default="127.0.0.1", help="address to listen at (this machine only by default)")
    parser.add_argument("--port", type=_port, default=8000, help="8000 by default")
    parser.add_argument("--no-serve", action="store_true", help="make everything ready, then end")
    return parser.parse_args(argv)


def _port(text: str) -> int:
    if text.isascii() and text.isdigit() and 1 <= int(text) <= 65535:
        return int(text)
    raise argparse.ArgumentTypeError(f"{text} is no port: give a number from 1 to 65535, such as 8080.")


def check_port(host: str, port: int) -> None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise Stop(_why_no_port(error, host, port)) from error


def _why_no_port(error: OSError, host: str, port: int) -> str:
    if isinstance(error, socket.gaierror) or error.errno in (errno.EADDRNOTAVAIL, errno.EAFNOSUPPORT):
        return f"This machine has no address {host}: leave out --host, or give one of its own addresses."
    if error.errno == errno.EACCES:
        return f"Only root may use port {port}: start with --port 8000, and let a proxy stand in front."
    other = port + 1 if port < 65535 else 8000
    return f"Port {port} at {host} is in use: end what uses it, or start with --port {other}."


def _make_ready(data: Path, ending: _Ending) -> list[str]:
    """Fonts, collected files, database, and on the first start a way to sign in. Returns the owners' names.

    Each step is finished once begun, so that being ended in the middle leaves nothing half made.
    """
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopapp.settings")
    import django
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import CommandError, call_command
    from django.db.utils import DatabaseError, OperationalError

    from shopapp.webfonts import write_web_fonts

    first_way_in = ("fill_demo", {}) if (data / "demo").exists() else ("owner", {"first": True})
    try:
        write_web_fonts(data / "web" / "fonts")
        django.setup()
        steps = (
            lambda: call_command("migrate", verbosity=0, interactive=False),
            lambda: _collect_static(data, call_command),
            lambda: call_command(first_way_in[0], **first_way_in[1]),
        )
        for step in steps:
            if not ending.asked:
                step()
        return [] if ending.asked else _owners()
    except (ImproperlyConfigured, CommandError) as error:
        raise Stop(str(error)) from error
    except OSError as error:
        raise Stop(
            f"{error.filename or data} cannot be written ({error.strerror}): mend that, then start again."
        ) from (error)
    except DatabaseError as error:
        # What is narrower is a fault of ours and shows itself whole.
        if not isinstance(error, OperationalError) and type(error) is not DatabaseError:
            raise
        raise Stop(
            f"The database cannot be opened ({' '.join(str(error).split())}): check DATABASE_URL and the data folder."
        ) from error


def _owners() -> list[str]:
    from shopapp.people.models import Member

    owners = Member.objects.filter(role=Member.Role.OWNER, is_active=True)
    return list(owners.order_by("pk").values_list("username", flat=True))


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


def _serve(host: str, port: int, owners: list[str], ending: _Ending) -> int:
    address = f"http://{'localhost' if host in ('127.0.0.1', '0.0.0.0', '::') else host}:{port}/"
    bind = f"[{host}]:{port}" if ":" in host else f"{host}:{port}"
    # The app is read once, before the server parts into its two: a second of work and most of their memory are shared.
    web_command = [sys.executable, "-m", "gunicorn", "shopapp.wsgi", "--bind", bind, "--workers", "2", "--threads", "4",
                   "--preload", "--graceful-timeout", "10", "--no-control-socket",
                   "--log-level", "warning"]  # fmt: skip
    worker_command = [sys.executable, MANAGE, "worker"]
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
            say(f"Sign in as {' or '.join(owners)}; a lost password: {_reset_command()}")
            if host not in ("127.0.0.1", "localhost", "::1"):
                say("It can be reached from other machines: put a proxy with TLS in front, as the README says.")
    for child in (web, worker):
        _end(child)
    return code


def _reset_command() -> str:
    """The command as it must be typed for the folder in use."""
    data = os.environ["KERFSTEAD_DATA"]
    usual = {DEMO_DATA: "python3 manage.py owner --reset", SHOP_DATA: "python3 manage.py owner --reset --shop"}
    return usual.get(data) or f"KERFSTEAD_DATA={shlex.quote(data)} python3 manage.py owner --reset"


class _Ending:
    """Notes that somebody asked to end, by Ctrl-C or by the system."""

    def __init__(self) -> None:
        self.asked = False
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            # Started with nohup, it outlives its terminal.
            if signal.getsignal(number) is not signal.SIG_IGN:
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
        # Its own children too; it leads a session of its own.
        os.killpg(child.pid, signal.SIGKILL)
        child.wait()


def _answers(port: int, host: str) -> bool:
    near = "127.0.0.1" if host in ("0.0.0.0", "localhost") else f"[{host}]" if ":" in host else host
    try:
        with urllib.request.urlopen(f"http://{near}:{port}/healthz", timeout=1) as answer:
            return answer.status == 200
    except OSError:
        return False
