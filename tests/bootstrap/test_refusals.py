"""What stops the set-up is one sentence with its mend, and a non-zero exit."""

from __future__ import annotations

import ast
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
            supervise._check_port("127.0.0.1", port)


def test_a_folder_that_cannot_be_written_is_named(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("")
    with pytest.raises(bootstrap.Stop, match="cannot be written"):
        bootstrap.make_data_folder(str(blocked / "data"))


def test_no_network_is_said_in_one_sentence(tmp_path):
    """A real pip, asked for a package where nothing answers."""
    lock = tmp_path / "lock"
    lock.write_text("six==1.17.0 --hash=sha256:" + "0" * 64 + "\n")
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


def test_the_secret_key_is_made_once_and_for_its_owner_only(tmp_path):
    folder = tmp_path / "shop"
    bootstrap.make_data_folder(str(folder))
    key = folder / "secret_key"
    first = key.read_text()
    bootstrap.make_data_folder(str(folder))
    assert key.read_text() == first and len(first) > 60
    assert key.stat().st_mode & 0o077 == 0


def test_shop_and_demo_keep_separate_folders(monkeypatch):
    monkeypatch.delenv("KERFSTEAD_DATA")
    words = ["manage.py", "up", "--shop", "--port", "9000"]
    bootstrap.choose_data_folder(words)
    assert os.environ["KERFSTEAD_DATA"].endswith("data/shop")
    assert words == ["manage.py", "up", "--port", "9000"]


def test_an_environment_of_another_python_is_made_anew(tmp_path, monkeypatch):
    monkeypatch.setattr(bootstrap, "VENV", str(tmp_path))
    python = tmp_path / "bin" / "python"
    python.parent.mkdir()
    python.write_text("")
    (tmp_path / "kerfstead-app").write_text("x")
    config = tmp_path / "pyvenv.cfg"
    config.write_text(f"version = {sys.version_info[0]}.{sys.version_info[1]}.1\n")
    assert bootstrap.environment_is_sound(str(python))
    config.write_text("version = 3.8.1\n")
    assert not bootstrap.environment_is_sound(str(python))


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
