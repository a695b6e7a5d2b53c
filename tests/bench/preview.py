"""What a preview in real grain takes: `python -m tests.bench.preview`.

Seconds of one core (process time), so that other work on the machine counts for little, and as ratios to the first
line's. "First" is a picture in a process that has drawn none, "again" one of the same size of pixels later on, for
``grain`` keeps what it knows of a wood at a size. The aim is 32 by 32 tiles at 1,600 pixels under 400 ms.
"""

from __future__ import annotations

import io
import os
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

from PIL import Image

ONE_CORE = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
# Tiles a side, method, along, and how many pixels wide.
CASES = [
    (32, "tiles", "rows", 1600),
    (32, "tiles", "columns", 1600),
    (32, "runs", "rows", 1600),
    (32, "panels", "rows", 1600),
    (16, "runs", "rows", 400),
    (16, "runs", "rows", 800),
    (64, "tiles", "rows", 1600),
    (200, "tiles", "rows", 3000),
    (32, "tiles", "rows", 6000),
]


def main() -> None:
    if len(sys.argv) > 1:
        _one(int(sys.argv[1]))
        return
    print(
        f"{'tiles':>5} {'method':8}{'along':9}{'pixels':>7}{'first':>9}{'again':>9}{'ratio':>7}{'MB':>6}{'peak MB':>9}"
    )
    base = 0.0
    for number, (side, method, along, width) in enumerate(CASES):
        told = subprocess.run(
            [sys.executable, "-m", "tests.bench.preview", str(number)],
            env={**os.environ, **ONE_CORE},
            capture_output=True,
            text=True,
            check=True,
        )
        first, again, size, peak = (float(word) for word in told.stdout.split())
        base = base or again
        print(
            f"{side:5} {method:8}{along:9}{width:7}{first * 1000:6.0f} ms{again * 1000:6.0f} ms{again / base:7.2f}"
            f"{size / 1e6:6.1f}{peak:9.0f}"
        )
    _parts()


def _one(number: int) -> None:
    """One case in a process of its own: seconds at first and later, bytes, and the most memory it ever held."""
    from planner.drawing.preview import preview

    record, woods, width = _case(*CASES[number])
    begun = time.process_time()
    found = preview(record, woods, width=width)
    first = time.process_time() - begun
    again = _median(lambda: preview(record, woods, width=width, seed=1), 3)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(first, again, len(found.png), peak)


def _parts() -> None:
    """What the steps of the first case take, and other ways of writing the same file."""
    from planner.drawing.preview import melting, preview, preview_pixels
    from planner.drawing.preview.png import PngWriter
    from planner.drawing.preview.scene import scene_of

    record, woods, width = _case(*CASES[0])
    pixels = preview_pixels(record, woods, width=width)

    def ours() -> bytes:
        writer = PngWriter(pixels.shape[1], pixels.shape[0])
        writer.write(pixels)
        return writer.finish()

    def library(level: int) -> Callable[[], bytes]:
        def write() -> bytes:
            buffer = io.BytesIO()
            Image.fromarray(pixels).save(buffer, "PNG", compress_level=level)
            return buffer.getvalue()

        return write

    print()
    for name, write in (("file, as here", ours), ("by level 1", library(1)), ("by level 6", library(6))):
        print(f"{name:28}{_median(write, 3) * 1000:6.0f} ms{len(write()) / 1e6:6.1f} MB")
    steps: dict[str, Callable[[], Any]] = {
        "pieces from the record": lambda: scene_of(record),
        "pixels without the file": lambda: preview_pixels(record, woods, width=width),
        "from 3 m away": lambda: preview(record, woods, width=width, metres=3.0),
        "which woods melt at 3 m": lambda: melting(record, woods),
    }
    for name, step in steps.items():
        print(f"{name:28}{_median(step, 3) * 1000:6.0f} ms")


def _case(side: int, method: str, along: str, width: int) -> tuple[dict[str, Any], dict[str, Any], int]:
    from tests.support.previews import record_of, strewn, tones

    return record_of(strewn(side), along, method=method), tones(), width


def _median(job: Callable[[], object], rounds: int) -> float:
    seconds = []
    for _ in range(rounds):
        begun = time.process_time()
        job()
        seconds.append(time.process_time() - begun)
    return statistics.median(seconds)


if __name__ == "__main__":
    main()
