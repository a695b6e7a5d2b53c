"""The virtual environment: kept while it is sound, made anew when it is not, left alone when it is somebody's own."""

from __future__ import annotations

import subprocess
import sys
import types

import pytest

from shopapp import bootstrap

HERE = f"{sys.version_info[0]}.{sys.version_info[1]}"


@pytest.fixture
def environment(tmp_path, monkeypatch):
    """A folder that looks like an environment made and filled by us."""
    monkeypatch.setattr(bootstrap, "VENV", str(tmp_path))
    python = tmp_path / "bin" / "python"
    python.parent.mkdir()
    python.write_text("")
    (tmp_path / "kerfstead-app").write_text("x")
    (tmp_path / "pyvenv.cfg").write_text(f"version = {HERE}.1\n")
    return tmp_path


def test_an_environment_of_this_python_is_kept(environment):
    assert bootstrap.environment_is_sound(str(environment / "bin" / "python"))


@pytest.mark.parametrize("version", ["3.8.1", "3.1.4", f"{HERE}1.0", f"2.{HERE}.7"])
def test_an_environment_of_another_python_is_made_anew(environment, version):
    (environment / "pyvenv.cfg").write_text(f"home = /usr/bin\nversion = {version}\n")
    assert not bootstrap.environment_is_sound(str(environment / "bin" / "python"))


def test_a_half_made_environment_is_made_anew(environment):
    (environment / "kerfstead-app").unlink()
    (environment / "bin" / "python").chmod(0o755)
    (environment / "bin" / "python").write_text("#!/bin/sh\nexit 1\n")
    assert not bootstrap.environment_is_sound(str(environment / "bin" / "python"))


def test_an_environment_whose_python_is_gone_is_made_anew(environment):
    (environment / "bin" / "python").unlink()
    assert not bootstrap.environment_is_sound(str(environment / "bin" / "python"))


def answering(words):
    return lambda *args, **options: types.SimpleNamespace(stdout=words.encode(), returncode=0)


@pytest.mark.parametrize(
    ("said", "stays"), [("5.2.19 True", True), ("5.2.19 False", False), ("4.2.1 True", False), ("", False)]
)
def test_somebodys_own_environment_is_used_when_it_has_the_right_django_and_a_pip(monkeypatch, said, stays):
    monkeypatch.delenv("KERFSTEAD_NO_VENV", raising=False)
    monkeypatch.setattr(bootstrap, "VENV", "/somewhere/else")
    monkeypatch.setattr(sys, "prefix", "/somewhere/own")
    monkeypatch.setattr(sys, "base_prefix", "/usr")
    monkeypatch.setattr(subprocess, "run", answering(said))
    assert (bootstrap.the_python() == sys.executable) is stays


def test_the_systems_python_is_never_installed_into(monkeypatch):
    monkeypatch.delenv("KERFSTEAD_NO_VENV", raising=False)
    monkeypatch.setattr(sys, "prefix", sys.base_prefix)
    assert bootstrap.the_python().startswith(bootstrap.VENV)


def test_nothing_is_installed_twice(tmp_path, monkeypatch):
    def refuse(*args, **options):
        raise AssertionError("pip was called")

    monkeypatch.setattr(subprocess, "run", refuse)
    python = tmp_path / "bin" / "python"
    (tmp_path / "kerfstead-app").write_text(bootstrap.stamp_of(bootstrap.LOCKS["app"]))
    bootstrap.install(str(python), "app")


def test_without_the_pdf_libraries_the_command_to_run_is_printed_and_the_set_up_goes_on(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(bootstrap, "pdf_engine_loads", lambda python: False)
    monkeypatch.setattr(bootstrap, "may_apt", lambda: False)
    bootstrap.see_to_pdf_libraries(str(tmp_path / "bin" / "python"))
    words = capsys.readouterr().out
    assert "Papers cannot be made yet, all else works" in words
    assert bootstrap.pdf_command() in words
    assert list(tmp_path.iterdir()) == []


def test_somebody_who_may_not_write_the_environment_can_start_what_is_ready(tmp_path, monkeypatch):
    (tmp_path / "kerfstead-pdf").write_text("seen")

    def refuse(path, text):
        raise PermissionError(13, "Permission denied", path)

    monkeypatch.setattr(bootstrap, "write", refuse)
    bootstrap.see_to_pdf_libraries(str(tmp_path / "bin" / "python"))
