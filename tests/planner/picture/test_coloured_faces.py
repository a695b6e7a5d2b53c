"""Drawings in many colours, made by others, come back cell for cell at every whole enlargement."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

from planner.matching import match_colours
from planner.picture import read_picture
from planner.woods import WOODS
from tests.support.each import each
from tests.support.picture_files import saved

FACES = {
    path.stem: np.asarray(Image.open(path).convert("RGBA"))
    for path in sorted((Path(__file__).parents[2] / "pictures").glob("face-*.png"))
}
PAPER = (214, 236, 240)


def enlarged(cells: np.ndarray, scale: int) -> np.ndarray:
    return cells.repeat(scale, axis=0).repeat(scale, axis=1)


def reached_from_outside(clear: np.ndarray) -> set[tuple[int, int]]:
    height, width = clear.shape
    waiting = [(r, c) for r in range(height) for c in range(width) if r in (0, height - 1) or c in (0, width - 1)]
    reached: set[tuple[int, int]] = set()
    while waiting:
        r, c = waiting.pop()
        if 0 <= r < height and 0 <= c < width and clear[r, c] and (r, c) not in reached:
            reached.add((r, c))
            waiting += [(r + 1, c), (r - 1, c), (r, c + 1), (r, c - 1)]
    return reached


def test_all_six_faces_are_there():
    assert len(FACES) == 6


@each("scale", [1, 2, 3, 7, 16])
@each("name", FACES)
def test_a_face_on_nothing_is_read_with_every_colour(name, scale):
    face = FACES[name]
    reading = read_picture(saved(Image.fromarray(enlarged(face, scale))))
    inked = face[..., 3] == 255
    assert (reading.scale, reading.grid.rows, reading.grid.columns) == (scale, 16, 16)
    assert (reading.grid.filled == inked).all()
    assert (reading.grid.rgb[inked] == face[inked][:, :3]).all()
    assert dict(reading.grid.colours()) == {
        tuple(map(int, colour)): int((face[inked][:, :3] == colour).all(axis=1).sum())
        for colour in np.unique(face[inked][:, :3], axis=0)
    }


@each("kind", ["PNG", "GIF", "WEBP"])
@each("scale", [1, 3, 16])
@each("name", FACES)
def test_a_face_on_flat_paper_is_set_apart_from_the_paper_around_it(name, scale, kind):
    face = FACES[name]
    clear = face[..., 3] == 0
    flat = np.where(clear[..., None], np.array(PAPER, dtype=np.uint8), face[..., :3])
    options = {"lossless": True} if kind == "WEBP" else {}
    reading = read_picture(saved(Image.fromarray(enlarged(flat, scale)), kind, **options))
    assert reading.scale == scale and (reading.grid.rgb == flat).all()
    assert {(int(r), int(c)) for r, c in np.argwhere(~reading.grid.filled)} == reached_from_outside(clear)


@each("name", FACES)
def test_every_colour_of_a_face_finds_a_wood_of_its_own(name):
    worn = read_picture(saved(Image.fromarray(FACES[name]))).grid.colours()
    woods = {wood.id: wood.finished_rgb for wood in WOODS.values()}
    match = match_colours([colour for colour, _ in worn], woods, [count for _, count in worn])
    assert len(set(match.wood_of)) == len(worn)
