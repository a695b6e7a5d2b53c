"""The tests shared out among several processes: `-p tests.support.parted --parts 3`.

All of them are found by one process, which then parts: finding them takes as long as a twentieth of running them, and
whoever parted has the app read and compiled. Each part takes a file at a time, the next one when it begins with the
last test of its own; what it finds goes back to the first process, which tells it as it would its own. What a part is
called stands in ``config.workerinput``, where pytest and its plugins look for it."""

from __future__ import annotations

import os
import pickle
import signal
import struct
import traceback
from collections.abc import Iterator
from itertools import groupby
from multiprocessing.connection import Connection, Pipe, wait

import pytest

_NUMBER = struct.Struct("i")


def pytest_addoption(parser):
    parser.addoption("--parts", type=int, default=0, help="share the tests out among so many processes")


@pytest.hookimpl(tryfirst=True)
def pytest_runtestloop(session):
    option = session.config.option
    if option.parts < 2 or option.collectonly or session.testsfailed:
        return None
    files = [list(items) for _, items in groupby(session.items, key=lambda item: item.path)]
    parts = _part(session, files, min(option.parts, len(files)))
    try:
        _listen(session, parts)
    finally:
        for part in parts:
            part.end()
    if session.shouldfail:
        raise session.Failed(session.shouldfail)
    return True


class _Part:
    """A process with a share of the tests, as the first one knows it."""

    def __init__(self, pid: int, said: Connection) -> None:
        self.pid, self.said = pid, said
        self.at = ""

    def end(self) -> None:
        """No part outlives the run, whatever ended it."""
        if self.pid:
            os.kill(self.pid, signal.SIGTERM)
            os.waitpid(self.pid, 0)
            self.pid = 0

    def code(self) -> int:
        _, status = os.waitpid(self.pid, 0)
        self.pid = 0
        return os.waitstatus_to_exitcode(status)


def _part(session, files: list[list], how_many: int) -> list[_Part]:
    # Read a number at a time by whichever part is free; all of them fit into the pipe.
    turns, deal = os.pipe()
    os.set_blocking(deal, False)
    assert os.write(deal, b"".join(map(_NUMBER.pack, range(len(files))))) == len(files) * _NUMBER.size
    os.close(deal)
    folder = session.config._tmp_path_factory.getbasetemp()
    parts: list[_Part] = []
    for number in range(how_many):
        said, tell = Pipe(duplex=False)
        pid = os.fork()
        if pid:
            tell.close()
            parts.append(_Part(pid, said))
            continue
        code = 1
        try:
            session.config.workerinput = {"workerid": f"part{number}"}
            own = folder / f"part{number}"
            own.mkdir()
            session.config._tmp_path_factory._basetemp = own
            _work(session, files, turns, tell)
            code = 0
        except BaseException:
            traceback.print_exc()
        os._exit(code)
    os.close(turns)
    return parts


def _work(session, files: list[list], turns: int, tell: Connection) -> None:
    plugins = session.config.pluginmanager
    plugins.unregister(plugins.getplugin("terminalreporter"))
    # What it catches of a test's words lies in files of its own.
    caught = plugins.getplugin("capturemanager")
    caught.stop_global_capturing()
    caught.start_global_capturing()
    caught.suspend_global_capture()
    plugins.register(_Teller(session.config, tell))

    def taken() -> Iterator[tuple]:
        while number := os.read(turns, _NUMBER.size):
            yield from files[_NUMBER.unpack(number)[0]]

    left = taken()
    item = next(left, None)
    while item is not None:
        following = next(left, None)
        session.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        item = following
    tell.send(None)


class _Teller:
    """In a part: every word of pytest's about a test goes to the first process."""

    def __init__(self, config, tell: Connection) -> None:
        self.config, self.tell = config, tell

    def pytest_runtest_logstart(self, nodeid, location):
        self.tell.send(("logstart", {"nodeid": nodeid, "location": location}))

    def pytest_runtest_logreport(self, report):
        self.tell.send(("logreport", self.config.hook.pytest_report_to_serializable(config=self.config, report=report)))

    def pytest_runtest_logfinish(self, nodeid, location):
        self.tell.send(("logfinish", {"nodeid": nodeid, "location": location}))

    def pytest_warning_recorded(self, warning_message, when, nodeid, location):
        told = {"when": when, "nodeid": nodeid, "location": location}
        try:
            pickle.dumps(warning_message)
        except Exception:
            warning_message.message = warning_message.category(str(warning_message.message))
            warning_message.source = None
        self.tell.send(("warning", {**told, "warning_message": warning_message}))


def _listen(session, parts: list[_Part]) -> None:
    config, hook = session.config, session.config.hook
    at_work = {part.said: part for part in parts}
    while at_work and not session.shouldfail:
        for said in wait(list(at_work)):
            part = at_work[said]
            try:
                told = said.recv()
            except EOFError:
                told = None
            if told is None:
                del at_work[said]
                if code := part.code():
                    hook.pytest_runtest_logreport(report=_ended_half_way(part.at, code))
            elif told[0] == "logreport":
                report = hook.pytest_report_from_serializable(config=config, data=told[1])
                hook.pytest_runtest_logreport(report=report)
            elif told[0] == "warning":
                hook.pytest_warning_recorded.call_historic(kwargs=told[1])
            else:
                part.at = told[1]["nodeid"]
                getattr(hook, f"pytest_runtest_{told[0]}")(**told[1])


def _ended_half_way(nodeid: str, code: int) -> pytest.TestReport:
    words = f"The process ended half-way (exit {code}) at or after this test; what was left of its file was not run."
    return pytest.TestReport(nodeid, (nodeid.split("::")[0], 0, nodeid), {}, "failed", words, "call")
