"""What to saw of each wood: parts into strips, strips into rough lengths, and what those measure.

    rough length    ripped side by side into strips
    strip           end trim | part | kerf | part | kerf | ... | grip | end trim

Both layings go longest first, each piece into the first that still has room: the plain habit at the saw. Better
plans exist; this one can always be followed. The grip, and the end trim beyond it, stay whole: the kerf of the last
cut comes before them, so that no less than the grip is ever held.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from planner.build import ACROSS, Build, Part, kind_words
from planner.cutting.spares import spares
from planner.errors import PlannerError
from planner.measures import ZERO, Length, volume_mm3
from planner.shop import Shop, StockSize
from planner.woods import wood


class CuttingError(PlannerError):
    """The parts cannot be cut from this stock within the maker's safe limits."""


@dataclass(frozen=True, slots=True)
class Strip:
    """``count`` strips alike: ``cuts`` are (crosscut length, pieces) in each, ``needed`` the rough length they
    ask for, trims and grip included."""

    width: Length
    cuts: tuple[tuple[Length, int], ...]
    needed: Length
    count: int


@dataclass(frozen=True, slots=True)
class SectionNeed:
    """Strips of one ripped width and milled thickness. ``lengths`` are (crosscut length, pieces with spares)."""

    width: Length
    thickness: Length
    lengths: tuple[tuple[Length, int], ...]
    strips: tuple[Strip, ...]


@dataclass(frozen=True, slots=True)
class RoughLength:
    """``count`` rough lengths alike: ``length`` by ``width`` are sawn off the stock, and ``strips`` (their widths)
    ripped side by side."""

    length: Length
    width: Length
    strips: tuple[Length, ...]
    count: int


@dataclass(frozen=True, slots=True)
class WoodNeed:
    """What one wood asks for, all boards together.

    ``tiles`` are cells of the picture, borders and background left out; ``pieces`` count the parts to cut, ``spares``
    of them spare; ``crosscuts`` are one a piece and one to square the end of each strip.

    ``net_mm3`` is what stays in the finished boards, borders and background in this wood with it, spares left out,
    each glue line counted half to the piece on either side: the nets of all woods are the boards' finished volume.
    ``gross_mm3`` is what the rough lengths measure at the stock's rough thickness: each as long as its longest strip,
    trims and grip included, and as wide as the stock. Where a strip could still come out of the width not used, that
    rest is an offcut that stays on the rack and is not counted.
    """

    wood: str
    tiles: int
    pieces: int
    spares: int
    strips: int
    rough_lengths: int
    crosscuts: int
    net_mm3: Fraction
    gross_mm3: Fraction
    sections: tuple[SectionNeed, ...]
    sawn: tuple[RoughLength, ...] = ()


@dataclass(frozen=True, slots=True)
class LumberNeed:
    woods: tuple[WoodNeed, ...]

    @property
    def net_mm3(self) -> Fraction:
        return sum((need.net_mm3 for need in self.woods), Fraction(0))

    @property
    def gross_mm3(self) -> Fraction:
        return sum((need.gross_mm3 for need in self.woods), Fraction(0))


def lumber_need(build: Build, shop: Shop, stock: Mapping[str, StockSize]) -> LumberNeed:
    """The lumber for ``build.spec.quantity`` boards, wood by wood, most of it first.

    Raises CuttingError naming the part or wood, the limit, what would mend it, and the field at fault: one of the
    board's or of the shop's, or "stock" for a wood whose stock size is not known.
    """
    _check_shop(build, shop)
    parts: dict[str, list[Part]] = defaultdict(list)
    for part in build.parts:
        parts[part.wood].append(part)
    for name in parts:
        if name not in stock:
            raise CuttingError(
                f"There is no stock size for {wood(name).name}.",
                mend="Write the rough thickness and width it is bought in, with the woods on hand.",
                field="stock",
            )
    tiles = build.pattern.counts()
    need_of = _panels_need if build.panels else _wood_need
    needs = [need_of(name, made, tiles.get(name, 0), build, shop, stock[name]) for name, made in parts.items()]
    return LumberNeed(tuple(sorted(needs, key=lambda need: -need.gross_mm3)))


def widest_strips(stock: Mapping[str, StockSize], shop: Shop) -> dict[str, Length]:
    """How wide a strip comes out of each wood as it is bought, its edges straightened."""
    return {name: size.width - shop.rough_edge_trim for name, size in stock.items()}


def usable_length(shop: Shop) -> Length:
    """How much of the longest strip becomes parts and kerfs: both ends trimmed, the grip never cut."""
    return shop.longest_rip - shop.rough_end_trim * 2 - shop.grip


def _check_shop(build: Build, shop: Shop) -> None:
    if build.spec.pitch <= shop.crosscut_kerf:
        raise CuttingError(
            f"A pitch of {shop.says(build.spec.pitch)} is no more than the {shop.says(shop.crosscut_kerf)} "
            "the crosscut blade takes.",
            mend="Choose a wider pitch.",
            field="pitch",
        )
    if shop.longest_rip < shop.shortest_machined:
        raise CuttingError(
            f"The longest rough length ripped, {shop.says(shop.longest_rip)}, is shorter than the shortest that may go "
            f"over the jointer or through the planer, {shop.says(shop.shortest_machined)}.",
            mend="Set a longer one in the workshop's safe limits.",
            field="longest_rip",
        )
    if usable_length(shop) <= ZERO:
        raise CuttingError(
            f"A strip of {shop.says(shop.longest_rip)} leaves nothing once both ends are trimmed and "
            f"{shop.says(shop.grip)} is kept to hold it by.",
            mend="Rip longer lengths.",
            field="longest_rip",
        )
    milled = min(part.stage("ripped").thickness for part in build.parts)
    if milled < shop.thinnest_planed:
        raise CuttingError(
            f"Stock milled to {shop.says(milled)} is thinner than the {shop.says(shop.thinnest_planed)} "
            "this shop planes.",
            mend="Choose a wider pitch or border." if build.panels else "Make the board thicker.",
            field="pitch" if build.panels else "thickness",
        )


def _panels_need(name: str, parts: list[Part], tiles: int, build: Build, shop: Shop, stock: StockSize) -> WoodNeed:
    """Strips of panels, for all copies as they are: each is ripped as long as its panel is glued, both ends trimmed and
    the end it is held by among it, so that nothing is crosscut before the slices. Their spares are slices."""
    by_thickness: dict[Length, list[tuple[Part, Strip]]] = defaultdict(list)
    for part in parts:
        size = part.stage("ripped")
        _check_panel(name, part, size.thickness, shop, stock)
        _check_part(wood(name).name, part, build, shop, stock)
        needed = max(size.length + shop.rough_end_trim * 2, shop.shortest_machined)
        strip = Strip(size.width, ((size.length, 1),), needed, part.count)
        by_thickness[size.thickness].append((part, strip))
    sections = []
    for thickness, ones in by_thickness.items():
        alike: dict[Length, list[Strip]] = defaultdict(list)
        for _, strip in ones:
            alike[strip.width].append(strip)
        for width, strips in sorted(alike.items(), reverse=True):
            lengths: Counter[Length] = Counter()
            for strip in strips:
                lengths[strip.cuts[0][0]] += strip.count
            longest_first = tuple(sorted(lengths.items(), reverse=True))
            sections.append(SectionNeed(width, thickness, longest_first, tuple(strips)))
    rough = tuple(
        sawn for ones in by_thickness.values() for sawn in rough_lengths([strip for _, strip in ones], shop, stock)
    )
    net = sum((_finished_volume(part) / part.count * part.pieces for part in parts), Fraction(0))
    strip_count = sum(part.count for part in parts)
    gross = sum((volume_mm3(sawn.length, sawn.width, stock.thickness) * sawn.count for sawn in rough), Fraction(0))
    sawn_count = sum(sawn.count for sawn in rough)
    of_picture = tiles * build.spec.quantity
    return WoodNeed(name, of_picture, strip_count, 0, strip_count, sawn_count, 0, net, gross, tuple(sections), rough)


def _check_panel(name: str, part: Part, thick: Length, shop: Shop, stock: StockSize) -> None:
    rough, named = thick + shop.milling, wood(name).name
    if rough > stock.thickness:
        raise CuttingError(
            f"The panels are {shop.says(thick)} thick as they are glued and ask for {shop.says(rough)} in the rough; "
            f"{named} on hand is {shop.says(stock.thickness)}.",
            mend=f"Choose a smaller pitch, or use {named} of {shop.says(rough)} or more.",
            field="end_border" if part.kind == ACROSS else "pitch",
        )


def _wood_need(name: str, parts: list[Part], tiles: int, build: Build, shop: Shop, stock: StockSize) -> WoodNeed:
    spec = build.spec
    _check_stock(name, parts, build, shop, stock)
    wanted: dict[Length, dict[Length, int]] = defaultdict(lambda: defaultdict(int))
    for part in parts:
        strip = part.stage("ripped")
        wanted[strip.width][strip.length] += part.count * spec.quantity
    extra = 0
    sections = []
    for width, lengths in sorted(wanted.items(), reverse=True):
        cut = {}
        for length, count in lengths.items():
            more = spares(count, shop.spoil_rate, shop.spare_confidence)
            extra += more
            cut[length] = count + more
        sections.append(laid_in_strips(width, spec.thickness + shop.flattening, cut, shop))
    strips = [strip for section in sections for strip in section.strips]
    rough = rough_lengths(strips, shop, stock)
    pieces = sum(count for section in sections for _, count in section.lengths)
    strip_count = sum(strip.count for strip in strips)
    net = sum((_finished_volume(part) for part in parts), Fraction(0)) * spec.quantity
    gross = sum((volume_mm3(sawn.length, sawn.width, stock.thickness) * sawn.count for sawn in rough), Fraction(0))
    return WoodNeed(
        name,
        tiles * spec.quantity,
        pieces,
        extra,
        strip_count,
        sum(sawn.count for sawn in rough),
        # One cut squares the end of each strip before the first part.
        pieces + strip_count,
        net,
        gross,
        tuple(sections),
        rough,
    )


def _check_stock(name: str, parts: list[Part], build: Build, shop: Shop, stock: StockSize) -> None:
    named = wood(name).name
    milled = build.spec.thickness + shop.flattening
    rough = milled + shop.milling
    if rough > stock.thickness:
        thickest = stock.thickness - shop.flattening - shop.milling
        thinner = f"Make the board at most {shop.says(thickest)} thick, or use" if thickest > ZERO else "Use"
        raise CuttingError(
            f"{named} on hand is {shop.says(stock.thickness)} thick; "
            f"a board {shop.says(build.spec.thickness)} thick is milled to "
            f"{shop.says(milled)} and asks for {shop.says(rough)} in the rough.",
            mend=f"{thinner} {named} of {shop.says(rough)} or more.",
            field="thickness",
        )
    for part in parts:
        _check_part(named, part, build, shop, stock)


def _check_part(named: str, part: Part, build: Build, shop: Shop, stock: StockSize) -> None:
    strip = part.stage("ripped")
    field = "end_border" if part.kind == ACROSS else "pitch"
    if strip.width < shop.narrowest_strip:
        raise CuttingError(
            f"A strip {shop.says(strip.width)} wide is narrower than the {shop.says(shop.narrowest_strip)} "
            "this shop rips; "
            "it could not be held safely.",
            mend="Choose a wider pitch or border.",
            field=field,
        )
    if strip.width + shop.rough_edge_trim > stock.width:
        raise CuttingError(
            f"A strip {shop.says(strip.width)} wide does not come out of {named} {shop.says(stock.width)} wide, "
            f"with {shop.says(shop.rough_edge_trim)} lost to straightening.",
            mend="Choose a smaller size, or set wider stock for this wood.",
            field=field,
        )
    longest = usable_length(shop) - shop.crosscut_kerf
    if not part.for_all and strip.length > longest:
        raise CuttingError(
            f"The {kind_words(part.kind, build.spec.along)} of {named} is {shop.says(strip.length)} long; the longest "
            f"part out of a {shop.says(shop.longest_rip)} length is {shop.says(longest)}, "
            f"with {shop.says(shop.grip)} kept to hold it by.",
            mend="Choose a smaller pitch or border, or rip longer lengths in the workshop's safe limits.",
            field=field if part.kind == ACROSS else "side_border" if "border" in part.kind else "pitch",
        )


def laid_in_strips(width: Length, thickness: Length, lengths: Mapping[Length, int], shop: Shop) -> SectionNeed:
    """Lay the lengths into strips, longest first. As every strip is as long as the next, filling one strip
    after another with the longest that still fits is first-fit decreasing, and equal strips are laid at once."""
    left = dict(sorted(lengths.items(), reverse=True))
    room = usable_length(shop)
    overhead = shop.rough_end_trim * 2 + shop.grip
    strips = []
    while left:
        used = ZERO
        cuts: list[tuple[Length, int]] = []
        for length, count in left.items():
            fits = min(count, (room - used).mm // (length + shop.crosscut_kerf).mm)
            if fits:
                cuts.append((length, fits))
                used = used + (length + shop.crosscut_kerf) * fits
        alike = min(left[length] // n for length, n in cuts)
        for length, n in cuts:
            left[length] -= n * alike
            if not left[length]:
                del left[length]
        # A short strip still has to be long enough for the machines.
        needed = max(used + overhead, shop.shortest_machined)
        strips.append(Strip(width, tuple(cuts), needed, alike))
    return SectionNeed(width, thickness, tuple(sorted(lengths.items(), reverse=True)), tuple(strips))


def rough_lengths(strips: list[Strip], shop: Shop, stock: StockSize) -> tuple[RoughLength, ...]:
    """Strips side by side, the longest first and of equals the widest, each into the first rough length with room
    across. A rough length is as long as the first strip laid in it, so none after it can be longer."""
    room = stock.width - shop.rough_edge_trim + shop.rip_kerf
    lengths: list[Length] = []
    used: list[Length] = []
    laid: list[list[Length]] = []
    for strip in sorted(strips, key=lambda s: (s.needed, s.width), reverse=True):
        slot = strip.width + shop.rip_kerf
        # What had no room for one of these has none for the next of them.
        first = 0
        left = strip.count
        while left:
            while first < len(used) and used[first] + slot > room:
                first += 1
            if first == len(used):
                lengths.append(strip.needed)
                used.append(ZERO)
                laid.append([])
            # Of strips alike as many at once as find room; the first of a rough length is laid whatever its width.
            fit = min(left, max(1, int((room - used[first]).mm // slot.mm)))
            used[first] = used[first] + slot * fit
            laid[first] += [strip.width] * fit
            left -= fit
    alike = Counter(
        (length, _sawn_width(across, shop, stock), tuple(widths))
        for length, across, widths in zip(lengths, used, laid, strict=True)
    )
    return tuple(RoughLength(*one, count) for one, count in alike.items())


def _sawn_width(used: Length, shop: Shop, stock: StockSize) -> Length:
    """What the strips, their kerfs and the straightening take of the stock's width; all of it where the rest is too
    narrow to rip another strip from."""
    taken = min(used + shop.rough_edge_trim, stock.width)
    return taken if stock.width - taken >= shop.narrowest_strip else stock.width


def _finished_volume(part: Part) -> Fraction:
    size = part.stage("finished")
    return volume_mm3(size.length, size.width, size.thickness) * part.count
