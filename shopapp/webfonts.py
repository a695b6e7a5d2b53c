"""The page's fonts, cut from installed packages when a machine is set up; nothing is fetched at run time."""

from __future__ import annotations

import hashlib
import os
from importlib.metadata import version
from importlib.resources import as_file, files
from pathlib import Path

# Basic Latin, Latin-1, Latin Extended-A, and the marks of the trade: dashes, quotes, primes, fractions, arrows, signs.
KEPT = [
    *range(0x20, 0x7F),
    *range(0xA0, 0x180),
    *(0x2009, 0x202F, 0x2013, 0x2014, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2026, 0x2032, 0x2033, 0x2044, 0x20AC),
    *range(0x2150, 0x215F),
    *(0x2190, 0x2191, 0x2192, 0x2193, 0x2212, 0x2248, 0x2264, 0x2265, 0x2713),
]
FACES = {
    "source-serif-400": ("font_source_serif_pro", "SourceSerifPro-Regular.ttf"),
    "source-serif-600": ("font_source_serif_pro", "SourceSerifPro-Semibold.ttf"),
    "source-sans-400": ("font_source_sans_pro", "SourceSansPro-Regular.ttf"),
    "source-sans-600": ("font_source_sans_pro", "SourceSansPro-Semibold.ttf"),
}


def write_web_fonts(folder: Path) -> None:
    """Write each face as a WOFF2 of the kept characters into ``folder``; what stands and is still right is left."""
    folder.mkdir(parents=True, exist_ok=True)
    # Hidden, so that it is not collected among the page's files.
    stamp, wanted = folder / ".cut-from", _cut_from()
    stands = stamp.exists() and stamp.read_text() == wanted
    for name, (package, file_name) in FACES.items():
        target = folder / f"{name}.woff2"
        if not (stands and target.exists()):
            _write_face(target, package, file_name)
    if not stands:
        stamp.write_text(wanted)


def _cut_from() -> str:
    """What the files depend on: the packages' versions, the faces and the characters kept."""
    versions = [version(package) for package in sorted({package for package, _ in FACES.values()})]
    return hashlib.sha256(repr((versions, FACES, KEPT)).encode()).hexdigest()


def _write_face(target: Path, package: str, file_name: str) -> None:
    # Seconds to load, so only when there is something to cut.
    from fontTools import subset

    options = subset.Options(flavor="woff2", layout_features=["*"])
    with as_file(files(package) / "files" / file_name) as source:
        font = subset.load_font(str(source), options)
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=KEPT)
        cutter.subset(font)
        # Two processes may be at it at once: each writes its own, and either's is right.
        half = target.with_name(f".{target.name}.{os.getpid()}")
        subset.save_font(font, str(half), options)
        half.replace(target)
