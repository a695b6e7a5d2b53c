"""Proposals put together: the cells' colours, what of them is background, where they lie, and how plain it all is."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.picture.aside import RUNNING, drift_of, rectangle_in_frame, set_aside, side_of_one_colour, within_fill
from planner.picture.background import flat_background
from planner.picture.cells import CellsRead, cut_off, read_cells
from planner.picture.charts import ChartFound
from planner.picture.charts.grounds import plainly_grounded
from planner.picture.charts.light import OWN_SHADING, drift_within_parts, leading_colours
from planner.picture.choosing import Found
from planner.picture.cleaning import cleaned_colours
from planner.picture.curve import SET_TO_PAPER, may_be_bent
from planner.picture.doubt import beside_the_page, ground_in_doubt
from planner.picture.exact_cells import ACCIDENTAL, Axis, Cells
from planner.picture.filed import LARGEST_PITCH, can_be_kept, with_own_colours
from planner.picture.grid import OPAQUE, PictureGrid, Proposal
from planner.picture.lattice import Lattice
from planner.picture.merging import two_taken_for_one
from planner.picture.plain import Evidence, light_is_left, plainly_drawn
from planner.picture.redraw import HARD, SMOOTH, Floats
from planner.picture.shares import with_own_shares
from planner.picture.surround import edge_of
from planner.picture.working import Working

# A chart whose sides run further off the upright than so much of a cell was photographed.
_ASKEW = 0.3
# What a smooth filter drew in one step is known well where hardly more is left in the mean square than the twelfth of a
# level that rounding leaves: of what black and white cut off, a filter like it leaves three times as much.
_WELL_DRAWN = 0.12
# Where so many times the tolerance gives more than this share of the cells another ground, it is in doubt.
_TOLERANCES, _OTHER_GROUND = (0.7, 2.0), 0.005
# The least score of a plain chart in a file without loss, and of any other: of some 310 such that were charts all but
# six come to it; of four drawings without lines that were taken for charts none comes to nine tenths.
_PLAIN_CHART, _PLAIN_LOSSY_CHART = 0.9, 0.92
# Cells of the ground lie within so many levels of 255, or so many times the mean drift of cells of one colour.
_LEAST_SPREAD, _SPREAD = 4.0, 6.0
# Fewer cells a side in ruled lines may as well be a drawing in bands.
_FEWEST_IN_LINES = 8
# Such a part of a cell is hardly any.
_HARDLY_OFF = 0.2
# Cells of less than so many shares of colour a side have colours that the file hardly keeps: of 18 such five were
# read as they were drawn.
_COLOUR_KNOWN = 2.75
# Levels of 255 within which an edge is nearly of one colour.
_NEARLY_FLAT = 12
# Drawn in no more colours on no more cells a side, a picture may as well be one of twice the size in strokes of two.
_STROKES_COLOURS, _STROKES_SIDE = 3, 12


# A cell of which so much was cut off by turning has a colour that is made up; it is looked at in so many places a side.
_MADE_UP, _PLACES = 0.1, 4


@dataclass(frozen=True, slots=True)
class Proposed:
    """A proposal, what was seen in words, whether it is ``plain`` that it is right, and the mean square of what a grid
    that was drawn again leaves unexplained."""

    proposal: Proposal
    seen: tuple[str, ...]
    plain: bool
    left: float = 0.0


def exact_proposal(pixels: NDArray[np.uint8], cells: Cells, best: bool) -> Proposed:
    """Of an RGBA picture; ``best`` looks for a running ground, which runners-up are spared."""
    height, width = pixels.shape[:2]
    taken = pixels[np.ix_(cells.rows.middles(height), cells.columns.middles(width))]
    opaque = taken[..., 3] >= OPAQUE
    rgb = np.ascontiguousarray(taken[..., :3])
    around = _page_around(pixels, cells) if opaque.all() and cells.framed else None
    filled, how = set_aside(rgb, None if opaque.all() else opaque, running=rgb if best else None, around=around)
    rows, columns = cells.rows, cells.columns
    lattice = Lattice.upright(
        _middle(columns, cells),
        _middle(rows, cells),
        columns.pitch,
        rows.pitch,
        rows=rows.count,
        columns=columns.count,
    )
    kind = "native" if rows.pitch == 1 == columns.pitch else "scaled"
    proposal = Proposal(PictureGrid(rgb, filled), lattice, kind)
    in_strokes = _may_be_strokes(rgb, filled) and kind == "scaled" and not (cells.even and rows.pitch % 2)
    # An edge of nearly one colour with no ground found may be a ground that runs a little.
    doubtful = RUNNING in how or (filled.all() and flat_background(rgb, _NEARLY_FLAT) is not None)
    doubtful = doubtful or (best and around is None and bool(opaque.all()) and ground_in_doubt(rgb))
    doubtful = doubtful or (
        around is not None and (beside_the_page(rgb, around, 0) or _own_ground(filled, rgb, around))
    )
    doubtful = doubtful or (not opaque.all() and _margins_are_odd(cells, height, width))
    # Cells of one pixel or two may as well be a design that repeats itself.
    doubtful = doubtful or (1 < min(rows.pitch, columns.pitch) < 2 and not cells.believed)
    # Small cells come to be cut by the edge by accident.
    small_and_cut = cells.cut and min(rows.pitch, columns.pitch) <= ACCIDENTAL
    plain = not (in_strokes or doubtful or small_and_cut)
    return Proposed(proposal, how, plain)


def _may_be_strokes(rgb: NDArray[np.uint8], filled: NDArray[np.bool_], drift: float = 0.0) -> bool:
    """Whether it may as well be a picture of twice the size, in strokes of two; ``drift`` as in ``set_aside``."""
    if max(filled.shape) > _STROKES_SIDE or not filled.any():
        return False
    worn = rgb[filled]
    colours = leading_colours(worn.astype(np.float64), 2 * drift) if drift else np.unique(worn, axis=0)
    return len(colours) < _STROKES_COLOURS


def _middle(axis: Axis, cells: Cells) -> float:
    """Where the first cell starts, in the middle of what rounding to whole pixels allows."""
    if not (cells.cut or cells.framed):
        return 0.0
    return axis.offset if axis.pitch.is_integer() else axis.offset + 0.5


def _own_ground(filled: NDArray[np.bool_], rgb: NDArray[np.uint8], page: NDArray[np.uint8]) -> bool:
    """Whether what was set aside may as well be an outline or a band of the drawing: it is of another colour than the
    ``page`` around it, and does not run all round or encloses cells of the page's."""
    if not (rgb[~filled] != page).any():
        return False
    return bool(edge_of(filled).any() or (rgb == page).all(axis=2).any())


def _margins_are_odd(cells: Cells, height: int, width: int) -> bool:
    """Whether even cells on a clear ground lie a part of a cell away from the picture's edge: the ground was enlarged
    with them, so that their pitch is not quite what they show, and how many lie around them is not known."""
    if not (cells.framed and cells.even):
        return False
    (top, bottom), (left, right) = _ends(cells.rows), _ends(cells.columns)
    return any(margin % int(cells.rows.pitch) for margin in (top, height - bottom, left, width - right))


def _page_around(pixels: NDArray[np.uint8], cells: Cells) -> NDArray[np.uint8] | None:
    """The one colour of all that lies outside of the cells; None where nothing does, or more than one colour."""
    rows, columns = cells.rows, cells.columns
    (top, bottom), (left, right) = _ends(rows), _ends(columns)
    strips = (pixels[:top], pixels[bottom:], pixels[:, :left], pixels[:, right:])
    outside = [strip.reshape(-1, 4) for strip in strips if strip.size]
    if not outside or any((strip != outside[0][0]).any() for strip in outside):
        return None
    return outside[0][0, :3]


def _ends(axis: Axis) -> tuple[int, int]:
    return axis.ends or (max(0, round(axis.offset)), round(axis.offset + axis.count * axis.pitch))


def chart_proposal(chart: ChartFound, lossless: bool) -> Proposed:
    """Of a chart."""
    filled, how = set_aside(chart.rgb, None, drift=drift_of(0.0), running=chart.rgb, around=chart.paper)
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = chart.lattice.corners
    askew = max(abs(by - ay), abs(cy - dy), abs(dx - ax), abs(cx - bx)) > _ASKEW * chart.lattice.pitch
    proposal = Proposal(PictureGrid(chart.rgb, filled), chart.lattice, "photographed" if askew else "chart")
    plain = chart.score >= (_PLAIN_CHART if lossless and not askew else _PLAIN_LOSSY_CHART)
    plain = plain and chart.all_ruled and max(filled.shape) >= _FEWEST_IN_LINES and RUNNING not in how
    plain = plain and plainly_grounded(chart.rgb, chart.paper, filled, lossless=lossless)
    # Light on cells of no one colour is not to be told from their own.
    plain = plain and not (askew and (chart.drift > OWN_SHADING or may_be_bent(chart.rgb, filled, SET_TO_PAPER)))
    return Proposed(proposal, how, plain)


def drawn_proposal(
    working: Working, found: Found, best: bool, *, lossless: bool = False, scattered: bool = False
) -> Proposed:
    """Of a grid that explains a picture best; the colours of runners-up are left as they were read. Whether the file is
    ``lossless``, and its pixels ``scattered``, tells how plain the best is."""
    read, smooth = _read(working, found, best)
    colours, drift, opaque = read.colours, drift_of(read.left), None
    if working.clear:
        opaque = colours[..., 3] >= OPAQUE
        colours = colours[..., :3] * (255 / np.maximum(colours[..., 3:], 1))
        colours[~opaque] = 0
    if not best:
        rgb = np.clip(np.rint(colours), 0, 255).astype(np.uint8)
        filled, how = set_aside(rgb, opaque, drift=drift, running=None)
        return Proposed(
            Proposal(PictureGrid(rgb, filled), lattice_of(working, found), _kind(working)), how, plain=False
        )
    rgb, running, lit = cleaned_colours(colours, opaque)
    filled, how = set_aside(rgb, opaque, drift=drift, running=running)
    cut_off = _cut_off(working, found)
    rgb, filled = _without_made_up(rgb, filled, cut_off)
    proposal = Proposal(PictureGrid(rgb, filled), lattice_of(working, found), _kind(working))
    merged = opaque is None and two_taken_for_one(running, rgb)
    whole = _shows_whole(found, filled & ~cut_off) or _spans(working, found)
    # Nothing tells where a page of one colour begins.
    unbounded = opaque is None and working.fill is None and bool(working.turned or not found.fills)
    if opaque is None and (working.turned or not found.fills):
        inner = rectangle_in_frame(filled, cut_off)
        if inner is None and working.fill is not None:
            inner = within_fill(running, filled, working.fill.astype(np.float64), cut_off)
        spans = inner is not None and _spans(working, found)
        if spans and working.turned is None:
            # A margin of whole cells was drawn with the picture: it is background, and stays.
            inner = None
        if inner is not None:
            within, words = _framed(working, found, rgb, running[inner], drift, inner)
            # So it is where a drawing within an outline was turned, else its outline would pass for a ground.
            if not (spans and _outlined(within.grid.filled)):
                running, proposal, how, unbounded = running[inner], within, words, False
                # What has a frame around it may have a ground of its own, or a sky.
                whole = whole and _wholly_grounded(within.grid.filled)
    grid = proposal.grid
    noise = drift_within_parts(running)
    evidence = Evidence(
        stands_out=found.stands_out,
        fills=found.fills,
        turned=working.turned is not None,
        smooth=smooth,
        lossless=lossless,
        scattered=scattered,
        lit=lit,
        pitch=proposal.lattice.pitch,
        most=max(found.rows.count, found.columns.count),
        left=read.left,
        grain=read.grain,
        split=read.split / (found.rows.count * found.columns.count),
        noise=noise,
    )
    plain = (
        whole
        and plainly_drawn(evidence)
        and RUNNING not in how
        and not (unbounded and side_of_one_colour(grid, drift))
        # How wide a smooth filter smooths tells the cell from the stroke.
        and (smooth or not _may_be_strokes(grid.rgb, grid.filled, drift))
        and (opaque is not None or _plainly_grounded(grid.rgb, grid.filled, drift, noise))
        and not merged
        # Uneven light tells of a camera, and a camera has a curve; it shows nothing without some light.
        and not (lit and may_be_bent(grid.rgb, grid.filled))
        and not (evidence.photographed and light_is_left(running))
        and (max(working.shares) == 1 or proposal.lattice.pitch >= _COLOUR_KNOWN * max(working.shares))
    )
    return Proposed(proposal, how, plain, read.left)


def _outlined(filled: NDArray[np.bool_]) -> bool:
    """Whether of what is set aside less than half is part of three cells by three, as of an outline, and not a ground,
    with some of the drawing in its colour."""
    ground = ~filled
    rows, columns = ground.shape
    places = [np.s_[y : y + rows - 2, x : x + columns - 2] for y in range(3) for x in range(3)]
    whole = np.all([ground[place] for place in places], axis=0)
    wide = np.zeros_like(ground)
    for place in places:
        wide[place] |= whole
    return bool(2 * wide.sum() < ground.sum())


def _wholly_grounded(filled: NDArray[np.bool_]) -> bool:
    """Whether what a page surrounds is all filled, or has plainly a ground of its own: at all corners and two thirds of
    the edge."""
    if filled.all():
        return True
    return bool(not filled[[0, 0, -1, -1], [0, -1, 0, -1]].any() and 3 * edge_of(filled[..., None]).mean() <= 1)


def _spans(working: Working, found: Found) -> bool:
    """Whether the cells begin and end with the copy, but for a small part of one; or are in step with both ends of what
    was given room when it was turned."""
    axes, sides = (found.rows, found.columns), working.values.shape[:2]
    ends = [
        end
        for axis, side in zip(axes, sides, strict=True)
        for end in (axis.offset, axis.offset + axis.count * axis.pitch - side)
    ]
    if max(abs(end) for end in ends) <= _HARDLY_OFF * found.rows.pitch:
        return True
    if working.room is None:
        return False
    steps = [
        (axis.offset - side / 2 + way * size / 2) / axis.pitch
        for axis, side, size in zip(axes, sides, working.room, strict=True)
        for way in (-1, 1)
    ]
    return bool(max(abs(step - round(step)) for step in steps) <= _HARDLY_OFF)


def _cut_off(working: Working, found: Found) -> NDArray[np.bool_]:
    """The cells of which turning the picture cut off so much that their colour is made up."""
    rows, columns = found.rows, found.columns
    if working.turned is None:
        return np.zeros((rows.count, columns.count), dtype=np.bool_)
    part = (np.arange(_PLACES) + 0.5) / _PLACES
    down = rows.offset + rows.pitch * (np.arange(rows.count)[:, None] + part).ravel()
    across = columns.offset + columns.pitch * (np.arange(columns.count)[:, None] + part).ravel()
    off = working.turned.off(across, down).reshape(rows.count, _PLACES, columns.count, _PLACES)
    return np.asarray(off.mean(axis=(1, 3)) > _MADE_UP)


def _without_made_up(
    rgb: NDArray[np.uint8], filled: NDArray[np.bool_], cut_off: NDArray[np.bool_]
) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
    """Colours and filled cells with those that were ``cut_off`` set aside in an outermost row or column where no other
    cell is filled: they were made up of the drawing that ends beside them."""
    kept = filled.copy()
    for side in (np.s_[0], np.s_[-1], np.s_[:, 0], np.s_[:, -1]):
        if not (filled[side] & ~cut_off[side]).any():
            kept[side] = False
    if filled.all() or (kept == filled).all():
        return rgb, filled
    return np.where((filled & ~kept)[..., None], np.median(rgb[~filled], axis=0).astype(np.uint8), rgb), kept


def _shows_whole(found: Found, filled: NDArray[np.bool_]) -> bool:
    """Whether no filled cell lies at the edge of the copy, where it may be cut; cells that fill it are whole."""
    return found.fills or not (filled[[0, -1]].any() or filled[:, [0, -1]].any())


def _read(working: Working, found: Found, best: bool) -> tuple[CellsRead, bool]:
    """The cells, and whether a smooth filter drew them in one step; only for the best is asked which filter it was."""
    shape = found.shape
    read = read_cells(working.values, found.rows, found.columns, shape, guess=best)
    if best:
        read = replace(read, colours=_as_filed(read, working, found))
    if shape not in SMOOTH:
        return read, False
    if best and read.left > _WELL_DRAWN and cut_off(working.values):
        # Cut off at black and white, what one smooth filter drew may look like another's.
        reads = [read_cells(working.values, found.rows, found.columns, other) for other in SMOOTH if other != shape]
        read = min([read, *reads], key=lambda one: one.left)
    return read, True


def _as_filed(read: CellsRead, working: Working, found: Found) -> Floats:
    """The colours of cells that fill a picture, what its file did to them undone."""
    if not found.fills or working.clear or working.turned is not None:
        return read.colours
    cells = working.values, found.rows, found.columns, found.shape
    if found.shape in HARD and max(working.shares) > 1:
        read = replace(read, colours=with_own_shares(read.colours, *cells, working.shares))
    if found.rows.pitch > LARGEST_PITCH or not can_be_kept(working.shares, working.tables):
        return read.colours
    return with_own_colours(read, *cells, working.shares, working.tables)


def _plainly_grounded(rgb: NDArray[np.uint8], filled: NDArray[np.bool_], drift: float, noise: float) -> bool:
    """Whether the ground set aside is plainly that, and the same with less tolerance and with more.

    ``drift`` grows with what pixels miss; of a cell's many pixels the mean is known better, as the ``noise`` of cells
    of one colour tells: an outline near the ground's colour may lie within the one and beyond the other.
    """
    if ground_in_doubt(rgb, round(drift)):
        return False
    less, more = _TOLERANCES
    for within in (min(less * drift, max(_LEAST_SPREAD, _SPREAD * noise)), more * drift):
        ground = flat_background(rgb, round(within))
        other = ~filled if ground is None else filled == ground
        if other.mean() > _OTHER_GROUND:
            return False
    return True


def _framed(
    working: Working, found: Found, rgb: NDArray[np.uint8], running: Floats, drift: float, inner: tuple[slice, slice]
) -> tuple[Proposal, tuple[str, ...]]:
    """The picture in a frame of one colour, the frame left out and background sought again in what it frames."""
    rows, columns = inner
    rgb = np.ascontiguousarray(rgb[inner])
    filled, how = set_aside(rgb, None, drift=drift, running=running)
    lattice = lattice_of(working, found).extended(
        top=-rows.start,
        bottom=rows.stop - found.rows.count,
        left=-columns.start,
        right=columns.stop - found.columns.count,
    )
    return Proposal(PictureGrid(rgb, filled), lattice, _kind(working)), ("the frame around it left out", *how)


def _kind(working: Working) -> str:
    return "turned" if working.turned else "resampled"


def lattice_of(working: Working, found: Found) -> Lattice:
    """Where the cells of a grid found on a copy lie on the picture."""
    lattice = Lattice.upright(
        found.columns.offset,
        found.rows.offset,
        found.columns.pitch,
        found.rows.pitch,
        rows=found.rows.count,
        columns=found.columns.count,
    )
    one, two, three, four = (working.on_picture(*corner) for corner in lattice.corners)
    return Lattice((one, two, three, four), lattice.rows, lattice.columns)
