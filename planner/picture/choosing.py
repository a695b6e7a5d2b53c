"""The grids a picture may hold where none explains it to the last pixel: sought, drawn again and compared."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from PIL import Image

from planner.pattern import LARGEST_SIDE
from planner.picture.cells import cells_split
from planner.picture.exact_cells import Axis
from planner.picture.hard_ends import hard_ends
from planner.picture.loose import SHOWN, coarser, loose_grids
from planner.picture.loose_tents import loose_tents
from planner.picture.redraw import BLURS, HARD, SMOOTH, Picture, Shape, Side
from planner.picture.sizes import LEAST_PITCH, LEAST_PITCH_OF_TENTS, Size, likely_sizes, sides, smaller
from planner.picture.tilt import degrees_turned, still_turned
from planner.picture.turning import MIXED, fill_of, fill_within, sizes_before, turned_back
from planner.picture.working import LONGEST, Working

# Where boxes stand out by so much, tents need not be looked for. Settled by trial on the development set.
_BEYOND_DOUBT = 1.3
_MOST_SIZES, _MOST_TENTS = 6, 2
# A grid of no more cells a side than most pictures have, that stands out by so much, fills the picture; else one with a
# margin is listened for.
_NO_MARGIN, _USUAL = 1.0, 48
# Cells of fewer pixels than this may be parts of larger ones in a margin, which lie in step with them by chance.
_NO_PARTS = 3.5
# What stands out by less than this tells nothing of how it is turned.
_HEARD_AT_ALL = 0.2
# By how little such a grid is turned, it tells better itself than the slant of edges does.
_HARDLY_TURNED = 0.25
# Edges of a copy that run off by less than so many of its pixels are straight.
_SEEN_AS_STRAIGHT = 0.5
# Most of a border may be of the colour of the fill: where a page of that colour ends at the picture on one side. Hardly
# any of it is where the fill is of a colour of its own.
_FILL_SEEN, _FILL_ENDS = 0.93, 0.1
# What a smooth filter drew stands out by so much within its own ends.
_WITHIN_ENDS = 0.75
# What a grid that does not fill its copy counts, beside one that does.
_NOT_FILLED = 0.8
# A blur explains much by being able to; it is believed only where it leaves this share of what anything else leaves.
_BLUR_LEAVES = 0.35
# Tents on cells so many times as small are what a smooth filter drew where they leave so little of what hard cells do,
# and half of what one row and column more or less does: in a drawing of strokes two cells wide the strokes stand out.
_PARTS, _TENTS_LEAVE, _BESIDE_LEAVE = (2, 3), 0.1, 0.5


# So many cells, and such a part of all, are split where they are too large; of their parts hardly any.
_FEW_SPLIT, _MANY_SPLIT, _STILL_SPLIT = 3, 0.02, 0.2


@dataclass(frozen=True, slots=True)
class Found:
    """One grid: its axes in pixels of the working copy, the shape of its cells, how far its size stands out, and
    whether its cells fill the whole copy."""

    rows: Axis
    columns: Axis
    shape: Shape
    stands_out: float
    fills: bool = True


def upright_grids(working: Working) -> list[Found]:
    """Grids whose cells fill the whole picture, best first."""
    return _filling(working.values)


def turned_grids(image: Image.Image, working: Working, upright: list[Found]) -> list[tuple[Found, Working]]:
    """Grids that stand a little turned, best first, each with its upright copy; none where what stands ``upright`` is
    beyond doubt."""
    degrees = _degrees(image, working, upright)
    if not degrees:
        return []
    likely = _likely_before(working, degrees)
    ways = [_turned_by(working, degrees, room) for room in likely]
    best = in_order(*ways)
    if not best:
        return []
    # The grid that was found knows better how far it is turned than the slant of edges does; and which of the sizes the
    # picture had is known by now.
    first, copy = best[0]
    still = _still(copy, first) if first.stands_out >= _HEARD_AT_ALL else 0.0
    if not still:
        return best
    given_room = next(room for room, way in zip(likely, ways, strict=True) if way and way[0][1] is copy)
    again = in_order(_turned_by(working, degrees + still, given_room))
    return again if again and _worth(again) > _worth(best) else best


def _degrees(image: Image.Image, working: Working, upright: list[Found]) -> float:
    """How far a picture is turned, 0 where it stands upright."""
    degrees = degrees_turned(_large_enough(image, working))
    plainly = bool(upright) and upright[0].stands_out >= _BEYOND_DOUBT
    if degrees and not (plainly and abs(degrees) < _HARDLY_TURNED):
        return degrees
    # What a smooth filter drew has no edges where its cells meet.
    return _still(working, upright[0]) if upright and upright[0].shape in HARD else 0.0


def _still(copy: Working, found: Found) -> float:
    """The degrees by which the grid found on a copy is seen to be turned; 0 where its edges run straight."""
    still = still_turned(copy.values, found.rows.pitch, found.columns.pitch)
    return still if np.tan(np.radians(abs(still))) * max(copy.values.shape) >= _SEEN_AS_STRAIGHT else 0.0


def _likely_before(working: Working, degrees: float) -> tuple[bool, ...]:
    """Whether a picture was given room when it was turned by so much, likeliest first; both where nothing tells."""
    values = working.values
    # Where the colour that fills the corners is seen, so is the size of what it surrounds; but a margin of that colour
    # looks like the room that was given.
    kept, given_room = (fill_within(values, degrees, size) for size in _sizes_before(working, degrees))
    if kept < _FILL_SEEN and kept <= given_room:
        return (False,)
    return (True,) if kept < _FILL_SEEN or given_room < _FILL_ENDS else (False, True)


def _sizes_before(working: Working, degrees: float) -> tuple[tuple[float, float], tuple[float, float]]:
    height, width, _ = working.values.shape
    return sizes_before(width, height, degrees, 1 / max(working.across, working.down))


def _turned_by(working: Working, degrees: float, given_room: bool) -> list[tuple[Found, Working]]:
    kept, room = _sizes_before(working, degrees)
    size = room if given_room else kept
    values, place = turned_back(working.values, degrees, size)
    place, fill = place.stretched(working.across, working.down), fill_of(working.values, degrees, size)
    copy = Working(values, working.across, working.down, place, fill, (room[1], room[0]))
    return [(_as_far_as_seen(one, values), copy) for one in _filling(values)]


def _as_far_as_seen(found: Found, values: Picture) -> Found:
    """A grid on a picture turned back without outermost cells of which too little is seen beside what is mixed with the
    fill at its edge."""
    height, width, _ = values.shape
    return replace(found, rows=_seen_of(found.rows, height), columns=_seen_of(found.columns, width))


def _seen_of(axis: Axis, side: int) -> Axis:
    least = SHOWN * axis.pitch + MIXED
    end = axis.offset + axis.count * axis.pitch
    before = int(axis.offset < 0 and axis.offset + axis.pitch < least)
    after = int(end > side and side - (end - axis.pitch) < least)
    return replace(axis, offset=axis.offset + before * axis.pitch, count=max(2, axis.count - before - after))


def _large_enough(image: Image.Image, working: Working) -> Picture:
    """The picture at a size at which shifting it by parts of a pixel does not blur its edges."""
    times = round(LONGEST / max(image.size))
    if times < 2:
        return working.values
    size = image.width * times, image.height * times
    return np.asarray(image.resize(size, Image.Resampling.BICUBIC)).astype(np.float32)


def in_order(*ways: list[tuple[Found, Working]]) -> list[tuple[Found, Working]]:
    """Several lists as one: first that whose first grid stands out most, each in its own order; of grids of one size
    the first only. That the cells fill the copy to the pixel counts in favour."""
    kept: list[tuple[Found, Working]] = []
    for way in sorted((way for way in ways if way), key=lambda way: -_worth(way)):
        for one, copy in way:
            size = one.rows.count, one.columns.count
            if all(size != (other.rows.count, other.columns.count) for other, _ in kept):
                kept.append((one, copy))
    return kept


def _worth(way: list[tuple[Found, Working]]) -> float:
    first = way[0][0]
    usual = first.fills and max(first.rows.count, first.columns.count) <= _USUAL
    return first.stands_out * (1.0 if usual else _NOT_FILLED)


@dataclass(frozen=True, slots=True)
class _Small:
    """The copy of a picture that tents are looked for in, and its sides."""

    values: Picture
    down: Side
    across: Side

    @classmethod
    def of(cls, values: Picture) -> _Small:
        small = smaller(values)
        return cls(small, *sides(small))


def _filling(picture: Picture) -> list[Found]:
    whole = _within(picture)
    if whole and whole[0].shape in HARD and whole[0].stands_out >= _BEYOND_DOUBT:
        return whole
    ends = hard_ends(picture)
    if ends is not None:
        # Beyond such an end no cells go on, as they would be taken to.
        found = _within(picture[ends])
        if found and found[0].shape in SMOOTH and found[0].stands_out >= _WITHIN_ENDS:
            top, left = ends[0].start, ends[1].start
            return [replace(one, rows=_moved(one.rows, top), columns=_moved(one.columns, left)) for one in found]
    return whole


def _moved(axis: Axis, by: int) -> Axis:
    return replace(axis, offset=axis.offset + by)


def _within(picture: Picture) -> list[Found]:
    """The grids of a picture, best first, those with margins among them."""
    values = picture - picture.mean(axis=(0, 1))
    down, across = sides(values)
    sizes = likely_sizes(down, across, False, _MOST_SIZES)
    small = None
    if not sizes or sizes[0].stands_out < _BEYOND_DOUBT:
        small = _Small.of(values)
        sizes += likely_sizes(small.down, small.across, True, _MOST_SIZES)
        sizes.sort(key=lambda size: -size.stands_out)
    found = _drawn(sizes, down, across)
    if not (found and _fills_beyond_doubt(found[0])):
        found = _with_loose(found, values, small, down, across)
    if found and found[0].fills and found[0].shape in HARD and (tents := _tents_within(found[0], down, across)):
        found = [tents, *(one for one in found if one.rows.count != tents.rows.count)]
    return _with_finer(_with_coarser(found, down, across), picture)


def _with_finer(found: list[Found], picture: Picture) -> list[Found]:
    """Before the grids that were found one of half their cells, or a third, where many of theirs are of two colours and
    next to none of these: most of what is drawn in strokes of two cells keeps in step with cells of two."""
    first = found[0] if found else None
    if first is None or first.shape not in HARD or first.rows.pitch < 2 * LEAST_PITCH:
        return found
    split = cells_split(picture, first.rows, first.columns, first.shape)
    if split < max(_FEW_SPLIT, _MANY_SPLIT * first.rows.count * first.columns.count):
        return found
    for times in _PARTS:
        rows, columns = (
            Axis(axis.offset, axis.pitch / times, axis.count * times) for axis in (first.rows, first.columns)
        )
        if max(rows.count, columns.count) > LARGEST_SIDE or rows.pitch < LEAST_PITCH:
            break
        if cells_split(picture, rows, columns, first.shape) <= _STILL_SPLIT * split:
            return [replace(first, rows=rows, columns=columns), *found][:_MOST_SIZES]
    return found


def _tents_within(found: Found, down: Side, across: Side) -> Found | None:
    """The tents of smaller cells that explain far better what was found to be hard cells; None where none do."""

    def left(rows: int, columns: int) -> float:
        one, other = Axis(0.0, down.length / rows, rows), Axis(0.0, across.length / columns, columns)
        return down.left_by(one, SMOOTH[0]) + across.left_by(other, SMOOTH[0])

    hard = down.left_by(found.rows, found.shape) + across.left_by(found.columns, found.shape)
    for times in _PARTS:
        rows, columns = found.rows.count * times, found.columns.count * times
        if max(rows, columns) > LARGEST_SIDE or found.rows.pitch / times < LEAST_PITCH_OF_TENTS:
            break
        by_tents = left(rows, columns)
        beside = min(left(rows + 1, columns + 1), left(rows - 1, columns - 1))
        if by_tents < _TENTS_LEAVE * hard and by_tents < _BESIDE_LEAVE * beside:
            axes = Axis(0.0, down.length / rows, rows), Axis(0.0, across.length / columns, columns)
            return Found(*axes, best_shape(*axes, down, across), found.stands_out)
    return None


def _fills_beyond_doubt(found: Found) -> bool:
    """Whether cells that fill the picture stand out enough that no grid with a margin need be listened for."""
    rows, columns = found.rows, found.columns
    # A side is rounded to whole pixels; cells less square than that makes them may be square ones in a margin, that
    # happens to be a whole number of cells wide on one side only.
    square = abs(rows.pitch - columns.pitch) <= 1 / rows.count + 1 / columns.count
    large = min(rows.pitch, columns.pitch) >= _NO_PARTS
    return found.stands_out >= _NO_MARGIN and square and large and max(rows.count, columns.count) <= _USUAL


def _with_coarser(found: list[Found], down: Side, across: Side) -> list[Found]:
    """Before the grids that were found one of larger cells where that explains the picture as well, and before that
    one of larger cells yet."""
    while found and (grid := coarser(found[0].rows, found[0].columns, down, across)):
        shape = best_shape(grid.rows, grid.columns, down, across)
        found = [Found(grid.rows, grid.columns, shape, grid.stands_out, fills=False), *found]
    return found[:_MOST_SIZES]


def _with_loose(found: list[Found], values: Picture, small: _Small | None, down: Side, across: Side) -> list[Found]:
    """The grids that fill the picture, and before or after them those with a margin, by how far they stand out."""
    loose = loose_grids(values, down, across, _MOST_SIZES)
    grids = [Found(one.rows, one.columns, HARD[2], one.stands_out, fills=False) for one in loose]
    if not grids or grids[0].stands_out < _BEYOND_DOUBT:
        tents = _tents(values, small or _Small.of(values), down, across)
        # Drawn in, a grid may come to lie on cells that fill the picture nearly as well.
        known = [other for other in found for one in tents[:1] if other.stands_out >= one.stands_out]
        grids += [one for one in tents if not any(_alike(one, other) for other in known)]
        grids.sort(key=lambda one: -one.stands_out)
    if not grids:
        return found
    # Small cells that fill the picture by chance have no advantage of it over larger ones.
    parts = bool(found) and found[0].rows.pitch < _NO_PARTS <= grids[0].rows.pitch
    if found and found[0].stands_out >= (1.0 if parts else _NOT_FILLED) * grids[0].stands_out:
        return (found + grids)[:_MOST_SIZES]
    shape = best_shape(grids[0].rows, grids[0].columns, down, across)
    grids = [replace(one, shape=shape) for one in grids]
    return (grids[:2] + found + grids[2:])[:_MOST_SIZES]


def _tents(values: Picture, small: _Small, down: Side, across: Side) -> list[Found]:
    """What a smooth filter drew with a margin; only where such a shape suits the picture best."""
    times = values.shape[0] / small.values.shape[0], values.shape[1] / small.values.shape[1]
    found: list[Found] = []
    for one in loose_tents(small.values, small.down, small.across, _MOST_TENTS):
        rows, columns = (
            Axis(axis.offset * by, axis.pitch * by, axis.count)
            for axis, by in zip((one.rows, one.columns), times, strict=True)
        )
        shape = best_shape(rows, columns, down, across)
        if shape in SMOOTH:
            found.append(Found(rows, columns, shape, one.stands_out, fills=False))
    return found


def _alike(one: Found, other: Found) -> bool:
    """Whether two grids have the same cells, but for less than a quarter of one."""
    pairs = ((one.rows, other.rows), (one.columns, other.columns))
    return all(a.count == b.count and abs(a.offset - b.offset) < b.pitch / 4 for a, b in pairs)


def _drawn(sizes: list[Size], down: Side, across: Side) -> list[Found]:
    """The sizes as grids, all in the shape that suits the first."""
    found: list[Found] = []
    shape = HARD[0]
    for size in sizes:
        rows = Axis(0.0, down.length / size.rows, size.rows)
        columns = Axis(0.0, across.length / size.columns, size.columns)
        if not found:
            shape = best_shape(rows, columns, down, across)
        if all((size.rows, size.columns) != (one.rows.count, one.columns.count) for one in found):
            found.append(Found(rows, columns, shape, size.stands_out))
    return found[:_MOST_SIZES]


def best_shape(rows: Axis, columns: Axis, down: Side, across: Side) -> Shape:
    """The shape of cells that leaves least unexplained."""

    def left(shape: Shape) -> float:
        return down.left_by(rows, shape) + across.left_by(columns, shape)

    kinds = {shape: left(shape) for shape in (HARD[0], HARD[2], SMOOTH[0], SMOOTH[1])}
    likely = min(kinds, key=lambda shape: kinds[shape])
    for shape in HARD if likely in HARD else SMOOTH:
        if shape not in kinds:
            kinds[shape] = left(shape)
    best = min(kinds, key=lambda shape: kinds[shape])
    if likely in HARD:
        return best
    blur = min(BLURS, key=left)
    return blur if left(blur) < _BLUR_LEAVES * kinds[best] else best
