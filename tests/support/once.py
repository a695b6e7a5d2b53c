"""What is dear and the same for many tests is made once in a run, whichever process of the run asks first."""

from __future__ import annotations

import fcntl
import hashlib
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

Made = TypeVar("Made")


class Once:
    """Keeps what was made in a folder that the processes of one run share, and in the process that read it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.here: dict[str, object] = {}

    def __call__(self, name: str, make: Callable[[], Made]) -> Made:
        """What ``make`` makes, under ``name``; whoever asks while another makes it waits for that one."""
        if name not in self.here:
            file = self.folder / hashlib.sha256(name.encode()).hexdigest()
            with file.with_suffix(".lock").open("w") as lock:
                fcntl.flock(lock, fcntl.LOCK_EX)
                if file.exists():
                    self.here[name] = pickle.loads(file.read_bytes())
                else:
                    self.here[name] = made = make()
                    file.write_bytes(pickle.dumps(made))
        return self.here[name]
