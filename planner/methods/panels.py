"""Boards of panels cut into slices: strips glued side by side in a row's order, crosscut, each slice one such row.

    a panel, seen from above              end grain up: slices are turned, so that    face up: slices are laid as they
    +--------+----+--+------+             the grain stands on end; every joint is     come, and meet end grain to end
    | strip  |    |  |      | grain runs  side grain to side grain                    grain along every row
    |        |    |  |      | this way
    +--------+----+--+------+ slices are cut off here

Turned, a panel is as thick as a row is high and a slice as thick as the board; face up it is the other way about.
Panels are flattened before they are sliced and the blank once more, never through a thickness planer where end grain
shows. Borders are of the same making: at the sides a strip of every panel, along the rows slices of plain panels. An
end-grain field moves both ways, and long grain around it would not.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from math import ceil

from planner.build import BoardSpec, BuildError, build, detail_minutes, longest_strip
from planner.build.spec import check_spec
from planner.cutting import spares, widest_strips
from planner.cutting.lumber import Strip, rough_lengths, usable_length
from planner.measures import ZERO, Length, volume_mm3
from planner.methods.counting import Panel, PanelCounts, Piece, Row, count_panels, distinct
from planner.methods.effort import Effort, Step
from planner.methods.terms import Maker, MethodError, Weakest
from planner.methods.work import StripsOf, Work
from planner.pattern import Pattern
from planner.shop import Shop, StockSize

DM2 = Fraction(10_000)
FACE_UP_REFUSED = (
    "Slices laid face up meet end grain to end grain along every row, and nothing lies across those seams. Turn them "
    "end grain up; or glue them on a backing, balanced, as a thin face to look at only."
)


@dataclass(frozen=True, slots=True)
class _Kind:
    """The panel of one row: its strips (wood, ripped width) and how many of them are alike, how many lie ``across``
    it, and its width and thickness as glued. Millimetres."""

    strips: Mapping[Piece, int]
    across: int
    width: Fraction
    thickness: Fraction


def field_rows(pattern: Pattern, spec: BoardSpec, shop: Shop) -> list[Row]:
    """The picture's rows as they are laid, background and side borders in one wood, both ends left long until the
    blank is cut to size. Millimetres."""
    laid = pattern.turned() if spec.along == "columns" else pattern
    names = [spec.border_wood, *laid.woods]
    # Lengths come again and again: each is made once.
    long: dict[int, Fraction] = {}
    side = spec.side_border.mm
    trim = shop.end_trim.mm
    rows = []
    for cells in laid.rows:
        runs = [(wood, sum(1 for _ in same)) for wood, same in groupby(cells, key=names.__getitem__)]
        pieces = []
        for wood, many in runs:
            if many not in long:
                long[many] = spec.pitch.mm * many
            pieces.append((wood, long[many]))
        rows.append(Row(_with_ends(pieces, spec.border_wood, side, trim), spec.pitch.mm))
    return rows


def _with_ends(pieces: list[Piece], border: str, side: Fraction, trim: Fraction) -> tuple[Piece, ...]:
    if side:
        if pieces[0][0] == border:
            pieces[0] = (border, pieces[0][1] + side)
        else:
            pieces.insert(0, (border, side))
        if pieces[-1][0] == border:
            pieces[-1] = (border, pieces[-1][1] + side)
        else:
            pieces.append((border, side))
    for end in (0, -1):
        wood, length = pieces[end]
        pieces[end] = (wood, length + trim)
    return tuple(pieces)


class Panels:
    """One board's rows as panels, all lengths in millimetres. ``field`` are its ``field_rows``, ``turned`` is end grain
    up.

    Raises BuildError and MethodError, naming the field at fault.
    """

    def __init__(self, pattern: Pattern, spec: BoardSpec, maker: Maker, field: Sequence[Row], *, turned: bool) -> None:
        if pattern.background == pattern.height * pattern.width:
            raise BuildError("The pattern is all background.", mend="Give it at least one tile of wood.")
        check_spec(spec, "panels", maker.shop)
        self.spec, self.maker, self.shop, self.turned = spec, maker, maker.shop, turned
        self._check_shop()
        wide, high = (pattern.height, pattern.width) if spec.along == "columns" else (pattern.width, pattern.height)
        self.length = (spec.pitch * wide + spec.side_border * 2).mm
        self.high = (spec.pitch * high + spec.end_border * 2).mm
        self._known: dict[Piece, list[Piece]] = {}
        border = self._border_rows()
        self.often = distinct([*border, *field, *border])
        self.row_joints = sum(self.often.values()) - 1
        self.kinds = [self._kind(row) for row in self.often]
        self.detail_minutes = self._details(pattern) if turned and spec.details else Fraction(0)

    # --- what a board is made of --------------------------------------------------------------------------------

    def _border_rows(self) -> list[Row]:
        """A border along the rows is as many slices deep as the border wood's stock allows, and left wide until the
        blank is cut to size. Without borders nothing is left: equal rows would not come out of one panel."""
        if not self.spec.end_border:
            return []
        depth = (self.spec.end_border + self.shop.edge_trim).mm
        many = 1
        if self.turned:
            thickest = (self._stock(self.spec.border_wood).thickness - self.shop.milling).mm - self._panel_allowance()
            many = max(1, ceil(depth / thickest)) if thickest > 0 else 1
        long = self.length + 2 * self.shop.end_trim.mm
        return [Row(((self.spec.border_wood, long),), depth / many)] * many

    def _kind(self, row: Row) -> _Kind:
        shop = self.shop
        blank = (self.spec.thickness + shop.flattening).mm
        thickness = row.height + self._panel_allowance() if self.turned else blank + shop.flattening.mm
        places = [place for piece in row.pieces for place in self._places(piece)]
        glued, last = shop.dressing.mm - shop.glue_line.mm / 2, len(places) - 1
        strips: Counter[Piece] = Counter()
        ends = Counter(((n > 0) + (n < last), *place) for n, place in enumerate(places))
        for (edges, wood, place), count in ends.items():
            strips[wood, place + glued * edges + shop.gauge_allowance.mm] += count
        self._check(strips, Length.of_mm(thickness))
        width = sum((length for _, length in row.pieces), Fraction(0))
        return _Kind(strips, len(places), width, thickness)

    def _places(self, piece: Piece) -> list[Piece]:
        """A piece wider than its wood's stock is several strips."""
        if piece not in self._known:
            (wood, length), shop = piece, self.shop
            widest = (self._stock(wood).width - shop.rough_edge_trim - shop.gauge_allowance - shop.dressing * 2).mm
            many = max(1, ceil(length / widest)) if widest > 0 else 1
            self._known[piece] = [(wood, length / many)] * many
        return self._known[piece]

    def _stock(self, wood: str) -> StockSize:
        return self.maker.offers[wood].stock

    def _panel_allowance(self) -> Fraction:
        """What a panel is thicker than the place its slices take: dressed edges less the glue, and its flattening."""
        shop = self.shop
        return (shop.dressing * 2 - shop.glue_line + shop.flattening).mm

    def _details(self, pattern: Pattern) -> Fraction:
        """Planned minutes of one board's details. What fits where is the board's own affair, so it is built."""
        shop, stock = self.shop, {name: offer.stock for name, offer in self.maker.offers.items()}
        return detail_minutes(
            build(pattern, self.spec, "panels", shop, widest_strips(stock, shop), stock=stock, spare=self._spare)
        )

    def _spare(self, needed: int) -> int:
        return spares(needed, self.shop.spoil_rate, self.shop.spare_confidence)

    def _check_shop(self) -> None:
        shop = self.shop
        if shop.longest_rip < shop.shortest_machined or usable_length(shop) <= ZERO:
            raise MethodError(
                f"Panels of strips {shop.says(shop.longest_rip)} long leave nothing once both ends are trimmed and "
                f"{shop.says(shop.grip)} is kept to hold them by, or are too short for the machines.",
                mend="Rip longer lengths.",
                field="longest_rip",
            )

    def _check(self, strips: Mapping[Piece, int], thick: Length) -> None:
        shop, rough = self.shop, thick + self.shop.milling
        if thick < shop.thinnest_planed:
            raise MethodError(
                f"Panels {shop.says(thick)} thick are thinner than the {shop.says(shop.thinnest_planed)} this shop "
                "planes.",
                mend="Choose a wider pitch or border.",
                field="pitch",
            )
        for wood, width in strips:
            stock = self._stock(wood)
            if rough > stock.thickness:
                raise MethodError(
                    f"The panels are {shop.says(thick)} thick and ask for {shop.says(rough)} in the rough; "
                    f"{self.maker.offers[wood].name} on hand is {shop.says(stock.thickness)}.",
                    mend="Choose a smaller pitch, or thicker stock." if self.turned else "Make the board thinner.",
                    field="pitch" if self.turned else "thickness",
                )
            if Length.of_mm(width) + shop.rough_edge_trim > stock.width:
                raise MethodError(
                    f"No strip of panels comes out of {self.maker.offers[wood].name} {shop.says(stock.width)} wide.",
                    mend="Set wider stock for this wood.",
                    field="border_wood",
                )
            if Length.of_mm(width) < shop.narrowest_strip:
                raise MethodError(
                    f"A strip {shop.says(Length.of_mm(width))} wide is narrower than the "
                    f"{shop.says(shop.narrowest_strip)} this shop rips.",
                    mend="Choose a wider pitch or border.",
                    field="pitch",
                )

    # --- so many copies -----------------------------------------------------------------------------------------

    def _counts(self, copies: int, *, spare: bool) -> PanelCounts:
        shop = self.shop
        try:
            return count_panels(
                self.often,
                copies,
                step=self._step,
                kerf=shop.crosscut_kerf.mm,
                grip=self._overhead(),
                longest=(longest_strip(shop) + shop.rough_end_trim * 2).mm,
                spare=self._spare if spare else lambda needed: 0,
            )
        except ValueError as error:
            raise MethodError(
                f"Not one slice comes out of a panel {shop.says(shop.longest_rip)} long.",
                mend="Rip longer lengths.",
                field="longest_rip",
            ) from error

    def _step(self, row: Row) -> Fraction:
        """How thick a slice is cut."""
        shop = self.shop
        if self.turned:
            return (self.spec.thickness + shop.flattening).mm
        return row.height + (shop.dressing * 2 - shop.glue_line).mm

    def _overhead(self) -> Fraction:
        """Both ends trimmed, and the end that stays in the hand."""
        return (self.shop.grip + self.shop.rough_end_trim * 2).mm

    def work(self, copies: int) -> Work:
        counts, shop = self._counts(copies, spare=True), self.shop
        panels = list(zip(self.kinds, counts.panels, strict=True))
        sawn = self._sawn(panels)
        rows, joints = counts.row_joints, sum(panel.count * (kind.across - 1) for kind, panel in panels)
        row_mm2 = rows * (self.length + 2 * shop.end_trim.mm) * (self.spec.thickness + shop.flattening).mm
        face = [(kind.width * kind.thickness, panel) for kind, panel in panels]
        inside = sum((panel.total * (kind.across - 1) * kind.thickness for kind, panel in panels), Fraction(0))
        stops = self._stops(counts)
        return Work(
            pieces=joints + counts.panel_count,
            crosscuts=counts.slices,
            stops=stops,
            glue_ups={"Panels": sum(panel.count for kind, panel in panels if kind.across > 1)},
            end_joints=0 if self.turned else rows,
            long_joints={"In panels": joints, "Row to row": rows if self.turned else 0},
            end_mm2=Fraction(0) if self.turned else row_mm2,
            long_mm2=inside + (row_mm2 if self.turned else 0),
            strips=tuple(one.told for one in sawn),
            kerf={
                "Slices": counts.kerf * sum((panel.slices * area for area, panel in face), Fraction(0)),
                "Rip cuts": sum((one.rip_dust for one in sawn), Fraction(0)),
            },
            grip=shop.grip.mm * sum((panel.count * area for area, panel in face), Fraction(0)),
            gross={one.told.wood: one.gross for one in sawn},
            operations=self._operations(panels, rows, stops, copies),
        )

    def _stops(self, counts: PanelCounts) -> int:
        """The fence for each width of strip, the stop for each thickness of slice, each once for all copies."""
        return len({width for kind in self.kinds for _, width in kind.strips}) + counts.thicknesses

    def _sawn(self, panels: list[tuple[_Kind, Panel]]) -> list[_Sawn]:
        """Wood by wood, what is ripped and what the rough lengths measure."""
        wanted: dict[str, Counter[tuple[Fraction, Fraction, Fraction]]] = defaultdict(Counter)
        # Most panels are as long as another: their strips are counted together first.
        alike: dict[tuple[Fraction, Fraction], Counter[Piece]] = defaultdict(Counter)
        for kind, panel in panels:
            for length, many in _lengths(panel):
                strips = alike[length, kind.thickness]
                for piece, count in kind.strips.items():
                    strips[piece] += count * many
        for (length, thick), strips in alike.items():
            for (wood, width), count in strips.items():
                wanted[wood][width, length, thick] += count
        return [_Sawn(wood, strips, self._stock(wood), self.shop) for wood, strips in wanted.items()]

    def _operations(self, panels: list[tuple[_Kind, Panel]], rows: int, stops: int, copies: int) -> dict[str, Fraction]:
        faces = self._faces() * copies
        joints = sum(panel.count * (kind.across - 1) for kind, panel in panels)
        found = {
            "setup_job": Fraction(1),
            "rip_strip": Fraction(joints + sum(panel.count for _, panel in panels)),
            "row_join": Fraction(rows),
            "sand_dm2": faces,
            "oil_dm2": faces,
            "stop_change": Fraction(stops),
            "panel_glue": Fraction(sum(panel.count for kind, panel in panels if kind.across > 1)),
            "panel_joint": Fraction(joints),
            "panel_dm2": sum((2 * panel.total * kind.width for kind, panel in panels), Fraction(0)) / DM2,
            "slice": Fraction(sum(panel.slices for _, panel in panels)),
        }
        if self.turned:
            found["end_grain_dm2"] = faces
        if self.detail_minutes:
            found["detail_min"] = self.detail_minutes * copies
        return found

    def _faces(self) -> Fraction:
        """Both faces of one finished board, in square decimetres."""
        return 2 * self.length * self.high / DM2

    def effort(self) -> Effort:
        """Spare slices left out."""
        times, kerf, grip = self.maker.times, self.shop.crosscut_kerf.mm, self._overhead()
        each = times["row_join"] * self.row_joints + self._faces() * (
            times["sand_dm2"] + times["oil_dm2"] + (times["end_grain_dm2"] if self.turned else Fraction(0))
        )
        if self.detail_minutes:
            each += self.detail_minutes * times["detail_min"]
        counts = self._counts(1, spare=False)
        # Panels that fill up together are one step.
        steps: dict[tuple[int, int], Fraction] = defaultdict(Fraction)
        for kind, panel in zip(self.kinds, counts.panels, strict=True):
            flat = times["panel_dm2"] * 2 * kind.width / DM2
            assert panel.holds is not None
            each += panel.slices * (times["slice"] + flat * (self._step(panel.row) + kerf))
            steps[panel.slices, panel.holds] += (
                (times["panel_glue"] if kind.across > 1 else 0)
                + times["panel_joint"] * (kind.across - 1)
                + times["rip_strip"] * kind.across
                + flat * grip
            )
        return Effort(
            times["setup_job"] + times["stop_change"] * self._stops(counts),
            each,
            tuple(Step(minutes, Fraction(need), Fraction(holds)) for (need, holds), minutes in steps.items()),
        )

    def weakest(self) -> Weakest | None:
        """End grain up no seam lies across the grain; face up every one between two rows does, bare from end to end."""
        if self.turned or not self.row_joints:
            return None
        length = Length.of_mm(self.length)
        return Weakest("between every two rows", ZERO, length, length)


def _lengths(panel: Panel) -> list[tuple[Fraction, int]]:
    """Length and number of the panels: full ones, and the last with what is left."""
    if panel.count == 1:
        return [(panel.longest, 1)]
    return [(panel.longest, panel.count - 1), (panel.total - panel.longest * (panel.count - 1), 1)]


class _Sawn:
    """What one wood asks for: its strips by the panels' thickness, and their rough lengths at the stock's."""

    def __init__(
        self, wood: str, strips: Mapping[tuple[Fraction, Fraction, Fraction], int], stock: StockSize, shop: Shop
    ) -> None:
        """``strips`` are (ripped width, length, thickness) and how many are alike."""
        by_thickness: dict[Fraction, list[Strip]] = defaultdict(list)
        total = dust = Fraction(0)
        longest = ZERO
        for (width, length, thick), count in strips.items():
            needed = max(Length.of_mm(length), shop.shortest_machined)
            by_thickness[thick].append(Strip(Length.of_mm(width), (), needed, count))
            total += needed.mm * count
            dust += shop.rip_kerf.mm * needed.mm * thick * count
            longest = max(longest, needed)
        self.told = StripsOf(wood, sum(strips.values()), Length.of_mm(total), longest)
        self.rip_dust = dust
        self.gross = sum(
            (
                volume_mm3(sawn.length, sawn.width, stock.thickness) * sawn.count
                for alike in by_thickness.values()
                for sawn in rough_lengths(alike, shop, stock)
            ),
            Fraction(0),
        )
