"""What stops the set-up is one sentence with its mend, and a non-zero exit."""

from __future__ import annotations

import ast
import errno
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from shopapp import bootstrap, supervise

ROOT = Path(__file__).resolve().parents[2]


def test_an_older_python_is_told_which_one_is_needed():
    with pytest.raises(bootstrap.Stop, match=r"needs Python 3\.11 or newer and this is 3\.9"):
        bootstrap.check_python((3, 9, 2))


@pytest.mark.parametrize("name", ["manage.py", "shopapp/bootstrap.py"])
def test_what_runs_first_can_be_read_by_an_old_python(name):
    # The oldest grammar this Python can still check; 3.6 has f-strings and no walrus.
    ast.parse((ROOT / name).read_text(), feature_version=(3, 6))


def test_what_runs_first_needs_only_pythons_own_library():
    tree = ast.parse((ROOT / "shopapp/bootstrap.py").read_text())
    names = {
        alias.name.split(".")[0] for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names
    } | {node.module.split(".")[0] for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module}
    assert names - {"shopapp"} <= set(sys.stdlib_module_names)


def test_a_taken_port_is_said_with_another_one():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(bootstrap.Stop, match=f"start with --port {port + 1}"):
            supervise.check_port("127.0.0.1", port)


@pytest.mark.parametrize("port", ["0", "65536", "-1", "eighty", "٨٠", "1e3"])
def test_what_is_no_port_is_said_to_be_none(port, capsys):
    with pytest.raises(SystemExit) as end:
        supervise.read_options([f"--port={port}"])
    assert end.value.code == 2
    assert f"{port} is no port: give a number from 1 to 65535" in capsys.readouterr().err


def test_an_address_of_another_machine_is_not_called_a_port_in_use():
    # 203.0.113.0/24 is set aside for documentation (RFC 5737), so no machine has it.
    with pytest.raises(bootstrap.Stop, match=r"no address 203\.0\.113\.9: leave out --host"):
        supervise.check_port("203.0.113.9", 8000)


def test_the_lowest_ports_are_told_to_be_roots():
    words = supervise._why_no_port(PermissionError(errno.EACCES, "Permission denied"), "127.0.0.1", 80)
    assert words.startswith("Only root may use port 80: start with --port 8000")


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("WARNING: Retrying after 'NewConnectionError(...)'\nERROR: No matching distribution", "to the network"),
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", "disk is full"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", "not the one the lock names"),
        ("ERROR: Could not install packages due to an OSError: [Errno 13] Permission denied: '/x'", "cannot write"),
        ("ERROR: Could not find a version of numpy\nERROR: No matching distribution", "It said: ERROR: No matching"),
        ("", "It said: nothing"),
    ],
)
def test_why_the_packages_did_not_come_is_said_in_one_sentence(said, told):
    words = bootstrap.why_pip_failed(said)
    assert told in words and "\n" not in words


def test_a_folder_of_another_users_packages_is_named(tmp_path, monkeypatch):
    monkeypatch.setattr(bootstrap, "VENV", str(tmp_path / ".venv"))
    monkeypatch.setattr(bootstrap.os, "access", lambda path, mode: False)
    with pytest.raises(bootstrap.Stop, match="start as the user the folder belongs to"):
        bootstrap.make_environment(str(tmp_path / ".venv" / "bin" / "python"))


def test_ctrl_c_while_setting_up_ends_in_one_sentence(monkeypatch, capsys):
    def interrupted(argv):
        raise KeyboardInterrupt

    monkeypatch.setattr(bootstrap, "_prepare", interrupted)
    with pytest.raises(SystemExit) as end:
        bootstrap.prepare(["manage.py", "up"])
    assert end.value.code == 130
    assert capsys.readouterr().err == "Stopped half-way; the same command goes on from here.\n"


def test_a_folder_that_cannot_be_written_is_named(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("")
    for path in (blocked, blocked / "data"):
        with pytest.raises(bootstrap.Stop, match="cannot be written"):
            bootstrap.make_data_folder(str(path))


def test_no_network_is_said_in_one_sentence(tmp_path):
    """A real pip, asked for a package where nothing answers."""
    lock = tmp_path / "lock"
    lock.write_text("no-such-package==1.0 --hash=sha256:" + "0" * 64 + "\n")
    environment = {
        **os.environ,
        "PIP_INDEX_URL": "http://127.0.0.1:9/simple",
        "PIP_RETRIES": "0",
        "PIP_NO_CACHE_DIR": "1",
        "PIP_CONFIG_FILE": os.devnull,
    }
    code = (
        "from shopapp import bootstrap as b\n"
        f"b.LOCKS['app'] = {str(lock)!r}\n"
        f"b.read = lambda path: ''\n"
        "import sys\n"
        "try:\n    b.install(sys.executable, 'app')\n"
        "except b.Stop as stop:\n    print(stop); sys.exit(2)\n"
    )
    answer = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=environment, capture_output=True, text=True, timeout=60
    )
    assert answer.returncode == 2
    assert "connect this machine to the network" in answer.stdout


def test_no_lock_names_a_place_to_fetch_from_and_every_line_has_its_hash():
    for lock in bootstrap.LOCKS.values():
        text = Path(lock).read_text()
        assert "://" not in text
        packages = [line for line in text.splitlines() if line and not line.startswith((" ", "#"))]
        assert len(packages) > 15
        assert all(line.rstrip().endswith("\\") for line in packages)


def test_the_locks_hold_what_the_requirements_ask():
    asked = [
        line.split("#")[0].split(";")[0].strip().lower()
        for line in (ROOT / "requirements.txt").read_text().splitlines()
        if line and not line.startswith("#")
    ]
    locked = Path(bootstrap.LOCKS["app"]).read_text().lower()
    for line in asked:
        name, version = line.split("==")
        assert f"{name.split('[')[0]}" in locked and f"=={version}" in locked
