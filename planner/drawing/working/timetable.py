"""A timetable drawn: evenings across, hands, jigs, clamps and what cures as bars under one another.

A long one breaks into drawings of a few evenings each, so that every one fits a page and its words can be read. Between
two evenings lies a narrow strip that stands for all the time in between, and what holds on runs through it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.drawing.looks import DARK_INK
from planner.drawing.marking.ink import stroke
from planner.drawing.marking.letters import wide
from planner.drawing.marking.room import PAPER, Room
from planner.drawing.working.canvas import GROUND, Canvas, ink, lines_of
from planner.drawing.working.evenings import Days, Evening, Pool, Seen, Wait, seen
from planner.gluing.steps import GlueWork
from planner.gluing.terms import Timetable

# Evenings beside one another at most: as many as keep an evening's clock and date readable.
_ON_PAPER, _ON_SCREEN, _ON_PHONE = 6, 5, 2
_HANDS = "#e2bda4"
_CURES = "#d3dfc9"
# Pale ground and hatch of jigs, clamps and places, by what a pool is called.
_POOLS = {"jigs": ("#ecdcbb", "rise"), "clamps": ("#d9dde0", "fall"), "bench places": ("#e6e1d6", "upright")}
_OTHER = ("#e6e1d6", "level")


def timetable_svgs(
    glue: GlueWork,
    timetable: Timetable,
    days: Days,
    *,
    labels: Sequence[str] = (),
    room: Room = PAPER,
    title: str = "",
) -> list[str]:
    """A kept timetable in as many drawings as its evenings take; ``days`` says what the day so many after
    the first is called.

    Boxes of the kind "evenings" are the sessions along the top, in order, those of "hands" what hands do, and those of
    "uses of …" how many of a pool are in use; ``data-evenings`` on the root gives each session's minutes from the first
    midnight, "opens closes" with commas between, and ``data-full`` how high the whole of a pool is drawn.
    """
    whole = seen(glue, timetable, days, labels)
    drawings = []
    at = 0
    while at < len(whole.evenings):
        page = _fitting(whole, at, room)
        drawings.append(page)
        at += len(page.evenings)
    many = len(drawings)
    return [
        page.svg(_title(title or "Timetable", page, whole, n, many), is_last=n == many)
        for n, page in enumerate(drawings, 1)
    ]


def _title(title: str, page: _Page, whole: Seen, n: int, many: int) -> str:
    one, last = (whole.day(evening.opens) for evening in (page.evenings[0], page.evenings[-1]))
    days = one if one == last else f"{one} to {last}"
    return f"{title}, {days}{f', drawing {n} of {many}' if many > 1 else ''}"


def _fitting(whole: Seen, at: int, room: Room) -> _Page:
    """As many evenings from ``at`` on as fit a page; one at the least."""
    most = _ON_PHONE if room.short else _ON_PAPER if room.on_paper else _ON_SCREEN
    left = len(whole.evenings) - at
    # The last drawing is not left with one lone evening where the one before it can spare some.
    if most < left < 2 * most:
        most = (left + 1) // 2
    for many in range(min(most, left), 0, -1):
        page = _Page(whole, at, many, room)
        if many == 1 or not room.on_paper or page.height() <= room.high - room.line * 2:
            return page
    raise AssertionError("one evening always makes a page")


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Minutes of the clock and where they lie."""

    begins: int
    ends: int
    x: float
    long: float

    def at(self, minute: float) -> float:
        if self.ends == self.begins:
            return self.x
        return self.x + (minute - self.begins) / (self.ends - self.begins) * self.long


class _Page:
    """Evenings ``many`` from ``at`` on."""

    def __init__(self, whole: Seen, at: int, many: int, room: Room) -> None:
        self.whole, self.room = whole, room
        self.evenings = whole.evenings[at : at + many]
        self.before = whole.evenings[at - 1].closes if at else 0
        last = at + many
        behind = (
            whole.evenings[last].opens if last < len(whole.evenings) else max(whole.finish, self.evenings[-1].closes)
        )
        self.strip = room.text * (1.1 if room.short else 1.5)
        wide_each = (room.width - self.strip * (many + 1)) / many
        self.stretches: list[_Stretch] = []
        x, since = 0.0, self.before
        for evening in self.evenings:
            self.stretches += [
                _Stretch(since, evening.opens, x, self.strip),
                _Stretch(evening.opens, evening.closes, x + self.strip, wide_each),
            ]
            x, since = x + self.strip + wide_each, evening.closes
        self.stretches.append(_Stretch(since, behind, x, self.strip))
        self.begins, self.ends = self.before, behind

    def x(self, minute: int) -> float:
        for stretch in self.stretches:
            if minute <= stretch.ends:
                return stretch.at(max(minute, stretch.begins))
        return self.stretches[-1].at(self.ends)

    def within(self, begins: int, ends: int) -> bool:
        return begins < self.ends and ends > self.begins

    def span(self, begins: int, ends: int) -> tuple[float, float]:
        """Where a stretch of time lies on this page, and how long."""
        left = self.x(max(begins, self.begins))
        return left, self.x(min(ends, self.ends)) - left

    def height(self) -> float:
        return self._drawn()[1]

    def svg(self, title: str, *, is_last: bool) -> str:
        canvas, height, full = self._drawn()
        if is_last:
            ready = f"Ready {self.whole.day(self.whole.finish)}, {self.whole.clock(self.whole.finish)}"
            height += canvas.text * 0.5
            canvas.write(0, height + canvas.text * 0.7, ready, bold=True)
            height += canvas.line
        more = {
            "evenings": ",".join(f"{evening.opens} {evening.closes}" for evening in self.evenings),
            "full": f"{full:.9g}",
        }
        return canvas.svg(height + canvas.text * 0.2, title, self._said(), list(self._kinds(canvas)), more)

    def _drawn(self) -> tuple[Canvas, float, float]:
        canvas = Canvas(self.room)
        full = canvas.text * 2.2
        y = self._heads(canvas)
        y = self._hands(canvas, y)
        for pool in self.whole.pools:
            if any(self.within(use.begins, use.ends) for use in pool.uses):
                y = self._pool(canvas, pool, y, full)
        y = self._waits(canvas, y)
        y = self._list(canvas, y + canvas.text * 0.2)
        return canvas, y, full

    # --- one under another -----------------------------------------------------------------------------------

    def _heads(self, canvas: Canvas) -> float:
        text = canvas.text
        for evening in self.evenings:
            left, long = self.span(evening.opens, evening.closes)
            canvas.write(left, text * 0.9, self.whole.day(evening.opens), bold=True)
            hours = f"{self.whole.clock(evening.opens)} – {self.whole.clock(evening.closes)}"
            size = min(text * 0.9, text * 0.9 * long / max(wide(hours, text * 0.9), 1e-9))
            canvas.write(left, text * 2.0, hours, size)
            canvas.box("evenings", left, text * 2.3, long, text * 0.3)
        return text * 3.0

    def _label(self, canvas: Canvas, kind: str, words: str, y: float, way: str) -> float:
        side = canvas.text * 0.8
        canvas.box(f"stamp of {kind}", canvas.fine, y, side, side)
        if way:
            canvas.hatch(f"hatch of {kind}", way, canvas.fine, y, side, side, canvas.text * 0.3)
        size = canvas.text * 0.9
        for n, line in enumerate(lines_of(words, size, self.room.width - side * 1.6)):
            canvas.write(side * 1.5, y + size * 0.85 + n * size * 1.2, line, size)
            below = y + size * (1.2 * n + 1.4)
        return below

    def _hands(self, canvas: Canvas, y: float) -> float:
        people = f"{self.whole.hands} person" if self.whole.hands == 1 else f"{self.whole.hands} people"
        y = self._label(canvas, "hands", f"Hands: {people}", y, "")
        y, numbers = self._numbers(canvas, y)
        lanes: list[int] = []
        high = canvas.text * 1.2
        for evening in self.evenings:
            for doing in evening.doings:
                lane = next((n for n, until in enumerate(lanes) if until <= doing.begins), len(lanes))
                lanes[lane : lane + 1] = [doing.ends]
                left, long = self.span(doing.begins, doing.ends)
                canvas.box("hands", left, y + lane * high, long, high * 0.92)
        for x, from_ in numbers:
            canvas.upright("leaders", x, from_, y - from_)
        self._grid(canvas, y, y + len(lanes) * high)
        return y + len(lanes) * high + canvas.text * 0.5

    def _numbers(self, canvas: Canvas, y: float) -> tuple[float, list[tuple[float, float]]]:
        """The numbers over what hands do, none on another: where the hands begin, and the leaders down to them."""
        size = canvas.text * 0.85
        # From the right, so that a leader only ever passes what begins after it.
        free: list[float] = []
        placed = []
        told = [(self.x(one.begins), str(one.number)) for evening in self.evenings for one in evening.told]
        for x, text in reversed(told):
            end = x + wide(text, size) + size * 0.3
            row = next((n for n, begins in enumerate(free) if end <= begins), len(free))
            free[row : row + 1] = [x]
            placed.append((x, row, text))
        rows = len(free)
        leaders = []
        for x, row, text in placed:
            base = y + (rows - 1 - row) * size + size * 0.72
            canvas.write(x + size * 0.12, base, text, size, bold=True)
            leaders.append((x, base - size * 0.7))
        return y + rows * size + size * 0.2, leaders

    def _pool(self, canvas: Canvas, pool: Pool, y: float, full: float) -> float:
        kind, (_, way) = f"uses of {pool.name}", _look(pool.name)
        uses = [use for use in pool.uses if self.within(use.begins, use.ends)]
        most = max(use.many for use in uses)
        y = self._label(canvas, kind, _pool_words(pool, most), y, way)
        for use in uses:
            left, long = self.span(use.begins, use.ends)
            high = full * use.many / pool.there
            canvas.box(kind, left, y + full - high, long, high)
            if long > canvas.fine:
                canvas.hatch(f"hatch of {kind}", way, left, y + full - high, long, high, canvas.text * 0.3)
        canvas.level("floors", 0, y + full, self.room.width)
        canvas.level("ceilings", 0, y, self.room.width)
        self._grid(canvas, y, y + full)
        return y + full + canvas.text * 0.5

    def _waits(self, canvas: Canvas, y: float) -> float:
        waits = sorted((w for w in self.whole.waits if self.within(w.begins, w.ends)), key=lambda w: w.begins)
        if not waits:
            return y
        y = self._label(canvas, "waits", "Nobody at it: cures, dries, settles, travels", y, "dots")
        high = canvas.text * 1.25
        lanes: list[float] = []
        for wait in waits:
            left, long = self.span(wait.begins, wait.ends)
            words = self._wait_words(wait)
            size = canvas.text * 0.85
            room = wide(words, size) + size * 0.5
            inside = room <= long
            from_ = (
                left if inside or left + long + room <= self.room.width else max(min(left, self.room.width - room), 0)
            )
            before = not inside and left + long + room > self.room.width
            start, end = (max(left - room, 0), left + long) if before else (from_, max(left + long, left + room))
            if not inside and not before:
                end = left + long + room
            lane = next((n for n, until in enumerate(lanes) if until <= start), len(lanes))
            lanes[lane : lane + 1] = [end]
            top = y + lane * high
            canvas.box("waits", left, top, max(long, canvas.fine * 2), high * 0.85)
            canvas.hatch("hatch of waits", "dots", left, top, long, high * 0.85, canvas.text * 0.4)
            x = left + size * 0.25 if inside else start if before else left + long + size * 0.25
            if inside:
                canvas.box("plates", left + size * 0.1, top + high * 0.1, room - size * 0.2, high * 0.65)
            canvas.write(x, top + high * 0.62, words, size, on=inside)
        self._grid(canvas, y, y + len(lanes) * high)
        return y + len(lanes) * high + canvas.text * 0.5

    def _wait_words(self, wait: Wait) -> str:
        return f"{wait.words}, to {self.whole.day(wait.ends)}" if wait.ends > self.ends else wait.words

    def _grid(self, canvas: Canvas, top: float, low: float) -> None:
        """Where every evening begins and ends behind a lane of bars, and its hours."""
        for evening in self.evenings:
            for end in (evening.opens, evening.closes):
                canvas.upright("ends", self.x(end), top, low - top)
            for hour in range(evening.opens // 60 + 1, -(-evening.closes // 60)):
                canvas.upright("hours", self.x(hour * 60), top, low - top)

    def _list(self, canvas: Canvas, y: float) -> float:
        """What the numbers stand for, evening by evening, in two columns where there is room."""
        columns = 1 if self.room.short else 2
        gap = canvas.text
        wide_each = (self.room.width - gap * (columns - 1)) / columns
        blocks = [self._block(evening, wide_each) for evening in self.evenings]
        total = sum(len(block) for block in blocks)
        tops, column, filled = [y] * columns, 0, 0
        size = canvas.text * 0.92
        for block in blocks:
            # On to the next column where more than half of this evening would stand beyond its share.
            if column + 1 < columns and filled and filled + len(block) / 2 > total / columns * (column + 1):
                column += 1
            filled += len(block)
            left = column * (wide_each + gap)
            for number, words, bold in block:
                tops[column] += size * 1.25
                if number:
                    canvas.write(left + size * 1.5, tops[column], number, size, anchor="end", bold=True)
                canvas.write(left + (0 if bold else size * 1.9), tops[column], words, size, bold=bold)
            tops[column] += size * 0.45
        return max(tops)

    def _block(self, evening: Evening, room: float) -> list[tuple[str, str, bool]]:
        size = self.room.text * 0.92
        lines = [("", f"{self.whole.day(evening.opens)}", True)]
        for told in evening.told:
            words = f"{self.whole.clock(told.begins)} {told.words}"
            for n, part in enumerate(lines_of(words, size, room - size * 1.9)):
                lines.append((str(told.number) if not n else "", part, False))
        return lines

    def _said(self) -> str:
        told = []
        for evening in self.evenings:
            steps = "; ".join(f"{self.whole.clock(one.begins)} {one.words}" for one in evening.told)
            told.append(f"{self.whole.day(evening.opens)}: {steps}.")
        return " ".join(told)

    def _kinds(self, canvas: Canvas) -> list[tuple[str, str]]:
        fine = canvas.fine
        edge = f'stroke="{DARK_INK}" stroke-width="{fine}"'
        kinds = [
            ("evenings", 'fill="currentColor"'),
            ("ends", ink(fine)),
            ("hours", ink(fine * 0.7, f'stroke-dasharray="{fine * 3:.3g} {fine * 5:.3g}"')),
            ("ceilings", ink(fine * 0.7, f'stroke-dasharray="{fine * 8:.3g} {fine * 6:.3g}"')),
            ("leaders", ink(fine)),
        ]
        for name, fill in (("hands", _HANDS), ("waits", _CURES)):
            kinds += [(one, f'fill="{fill}" {edge}') for one in (name, f"stamp of {name}")]
        for pool in self.whole.pools:
            kind, fill = f"uses of {pool.name}", _look(pool.name)[0]
            kinds += [(kind, f'fill="{fill}" {edge}'), (f"stamp of {kind}", f'fill="{fill}" {edge}')]
            kinds.append((f"hatch of {kind}", stroke(fine)))
        kinds += [("hatch of waits", stroke(fine * 1.6)), ("plates", f'fill="{GROUND}"'), ("floors", ink(fine * 1.6))]
        return kinds


def _look(name: str) -> tuple[str, str]:
    return _POOLS.get(name.partition(":")[0], _OTHER)


def _pool_words(pool: Pool, most: int) -> str:
    """What there is of a pool, and the most that is in use at once.

    >>> _pool_words(Pool("clamps: Long ones", 12, ()), 6), _pool_words(Pool("bench places", 2, ()), 1)
    ('Clamps (Long ones): up to 6 of 12', 'Bench places: up to 1 of 2')
    """
    kind, _, name = pool.name.partition(": ")
    named = f"{kind} ({name})" if name else kind
    return f"{named[:1].upper()}{named[1:]}: up to {most} of {pool.there}"
