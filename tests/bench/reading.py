"""How well pictures are read, by kind of damage: `python -m tests.bench.reading [options]`.

    --part dev|held   the pictures to tune on (the default) or those held back
    --kinds a,b       kinds of tests.pictures.degrade.KINDS; all by default
    --cases N         of each kind (24)
    --seed S          another seed, other damage (1)
    --failures DIR    write each failing file there with a sheet: the file, the truth, what was read
    --large           also read 4,000 x 4,000 pixels, each picture in a process of its own: time and memory
    --list            one line for each failing case

n, then in per cent: *exact* (see tests.pictures.judge) by the leading rule of the kind, by the rule not leading
("as is" or "trimmed"), right *size*, right grid *offered*, *sure*, *right when sure*; milliseconds in ``read_picture``,
median and worst, of one processor's own time, so that a busy machine does not change them much. "all" is the mean of
the eleven main kinds' cases.
"""

from __future__ import annotations

import argparse
import io
import os
import resource
import statistics
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from planner.picture import PictureError, read_picture
from tests.pictures.charting import drawn_chart
from tests.pictures.degrade import KINDS, MAIN, TRIMMED, Case, cases
from tests.pictures.judge import Verdict, judge
from tests.pictures.sheets import laid_on_paper
from tests.pictures.truths import Truth, truths


@dataclass(frozen=True, slots=True)
class Outcome:
    """One case read: the verdict and the milliseconds it took."""

    case: Case
    verdict: Verdict
    ms: float


def read(case: Case) -> tuple[object, float]:
    begun = time.process_time()
    try:
        reading = read_picture(case.data)
    except PictureError:
        reading = None
    return reading, (time.process_time() - begun) * 1000


def outcome(case: Case) -> Outcome:
    reading, ms = read(case)
    return Outcome(case, judge(case, reading), ms)


def rate(values: list[bool]) -> float:
    """Per cent of ``values`` that are true; not a number when there are none."""
    return 100 * sum(values) / len(values) if values else float("nan")


def main() -> None:
    asked = _asked()
    kinds = asked.kinds.split(",") if asked.kinds else list(KINDS)
    print(
        f"{'kind':>13}{'n':>5}{'exact':>8}{'other':>8}{'size':>7}{'offered':>9}{'sure':>7}{'right':>7}{'ms':>7}{'worst':>7}"
    )
    everything: list[Outcome] = []
    for kind in kinds:
        outcomes = [outcome(case) for case in cases(kind, asked.part, asked.cases, asked.seed)]
        _print(kind, outcomes)
        everything += outcomes
        for one in outcomes:
            if one.verdict.exact:
                continue
            if asked.list:
                sure = ", SURE" if one.verdict.sure else ""
                print(f"    {one.case.name} {one.case.seed}: {one.verdict.why}{sure} <- {one.case.how}")
            if asked.failures:
                _keep(one, Path(asked.failures))
    main_kinds = [one for one in everything if one.case.kind in MAIN]
    if len(kinds) > 1 and main_kinds:
        _print("all", main_kinds)
    if asked.large:
        _large()


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--part", choices=("dev", "held"), default="dev")
    parser.add_argument("--kinds", default="")
    parser.add_argument("--cases", type=int, default=24)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--failures", default="")
    parser.add_argument("--large", action="store_true")
    parser.add_argument("--list", action="store_true")
    return parser.parse_args()


def _print(kind: str, outcomes: list[Outcome]) -> None:
    verdicts = [one.verdict for one in outcomes]
    sure = [verdict.exact for verdict in verdicts if verdict.sure]
    other = [v.untrimmed if one.case.kind in TRIMMED else v.trimmed for one, v in zip(outcomes, verdicts, strict=True)]
    ms = [one.ms for one in outcomes]
    print(
        f"{kind:>13}{len(outcomes):5}{rate([v.exact for v in verdicts]):8.1f}{rate(other):8.1f}"
        f"{rate([v.size for v in verdicts]):7.1f}{rate([v.offered for v in verdicts]):9.1f}"
        f"{rate([v.sure for v in verdicts]):7.1f}{rate(sure):7.1f}{statistics.median(ms):7.0f}{max(ms):7.0f}",
        flush=True,
    )


def _keep(one: Outcome, folder: Path) -> None:
    """The file as it was read, and a sheet of the file with the true corners, the truth and the reading."""
    folder.mkdir(parents=True, exist_ok=True)
    case = one.case
    stem = f"{case.kind}-{case.name}-{case.seed}"
    picture = Image.open(io.BytesIO(case.data))
    (folder / f"{stem}.{(picture.format or 'png').lower()}").write_bytes(case.data)
    picture = picture.convert("RGBA")
    draw = ImageDraw.Draw(picture)
    for start, end in zip(case.corners, case.corners[1:] + case.corners[:1], strict=True):
        draw.line([start, end], (255, 0, 0, 255), max(1, picture.width // 400))
    reading, _ = read(case)
    panels = [picture, _cells(case.rgb, case.filled)]
    if reading is not None:
        panels.append(_cells(reading.grid.rgb, reading.grid.filled))
    sheet = Image.new("RGB", (480 * len(panels), 520), (120, 130, 140))
    for at, panel in enumerate(panels):
        scale = 470 / max(panel.size)
        how = Image.Resampling.NEAREST if at else Image.Resampling.BOX
        shown = panel.resize((max(1, round(panel.width * scale)), max(1, round(panel.height * scale))), how)
        sheet.paste(shown, (480 * at + 5, 5), shown)
    ImageDraw.Draw(sheet).text((5, 482), f"{stem}: {one.verdict.why}\n{case.how}", (255, 255, 255))
    sheet.save(folder / f"{stem}.sheet.png")


def _cells(rgb: np.ndarray, filled: np.ndarray) -> Image.Image:
    return Image.fromarray(np.dstack([rgb, np.where(filled, 255, 0)]).astype(np.uint8))


LARGE = ("nearest", "blurred", "jpeg", "lit", "chart")


def _large() -> None:
    """Each in a process of its own, for memory once taken is not given back."""
    print(f"\n{'4000 x 4000':>13}{'ms':>8}{'MB more':>9}  of which the decoded picture alone")
    for kind in LARGE:
        said = subprocess.run(
            [sys.executable, "-c", f"from tests.bench.reading import large; large({kind!r})"],
            check=True, capture_output=True, text=True,
        ).stdout.split()  # fmt: skip
        print(f"{kind:>13}{float(said[0]):8.0f}{float(said[1]):9.0f}  {float(said[2]):.0f}  {' '.join(said[3:])}")


def large(kind: str) -> None:
    """Prints milliseconds and megabytes for one picture of 4,000 by 4,000 pixels."""
    from planner.picture.decode import decode

    data, truth = _large_file(kind)
    path = Path(f"/proc/{os.getpid()}/clear_refs")
    path.write_text("5")
    before = _peak_mb()
    decode(data)
    decoded = _peak_mb() - before
    begun = time.process_time()
    said = ""
    try:
        reading = read_picture(data)
        said = f"{reading.grid.columns} x {reading.grid.rows} cells for {truth.columns} x {truth.rows}"
    except PictureError as error:
        said = str(error)
    print((time.process_time() - begun) * 1000, _peak_mb() - before, decoded, said)


def _large_file(kind: str) -> tuple[bytes, Truth]:
    truth = next(truth for truth in truths("dev") if truth.name == "creature-5")
    rng = np.random.default_rng(5)
    sheet = laid_on_paper(truth, rng, (250, 244, 200))
    cells = sheet.pixels
    if kind == "chart":
        cells, _, _ = drawn_chart(cells, (255, 255, 255), 24, rng)
    smooth = Image.Resampling.NEAREST if kind in ("nearest", "jpeg", "lit") else Image.Resampling.BICUBIC
    pixels = np.asarray(Image.fromarray(cells).resize((4000, 4000), smooth))
    if kind == "lit":
        pixels = (pixels * 0.94 + rng.normal(0, 5, (4000, 4000, 1))).clip(0, 255).astype(np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, "JPEG" if kind in ("jpeg", "lit") else "PNG")
    return buffer.getvalue(), truth


def _peak_mb() -> float:
    """The most memory held since the mark was last reset, where the system tells it; else since the start."""
    status = Path("/proc/self/status")
    if status.exists():
        for line in status.read_text().splitlines():
            if line.startswith("VmHWM"):
                return int(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main()
