"""The whole route in one call: a pattern and a board's sizes become parts, lumber, hours, cost and a price.

Nothing is decided here; each step's own module holds its rule. This module carries the result of one step to
the next, in the order of the work, and gathers the figures a page or a paper shows.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.asking import Asking, Selling, Sent, ask, money_figures, send, settled_terms
from planner.build import BoardSpec, Build, Detail, build, details_of, load_of
from planner.cutting import LumberNeed, WoodNeed, lumber_need, spares, widest_strips
from planner.errors import PlannerError
from planner.figures import Figure, Term
from planner.hours import Times, count_operations, hour_figures, times_as_said
from planner.measures import board_feet, cubic_metres, round_half_up, square_metres
from planner.movement import USUAL, Moving, Surroundings, moving
from planner.pattern import Pattern
from planner.pricing import HardwareCost, Rates, Supplies, Terms, WoodCost, made_cost, supplies_of, wood_cost
from planner.shop import Shop, StockSize
from planner.woods import Caution, cautions_for, wood
from planner.woods.mass import AIR_DRY
from planner.woods.weighing import Weighed, weighed


@dataclass(frozen=True, slots=True)
class WoodOffer:
    """A wood as the maker has it: the name it goes by, its finished look, its price and the stock's size."""

    wood: str
    name: str
    rgb: tuple[int, int, int]
    mark: str
    price: Decimal
    per: str  # "bf" or "m3"
    stock: StockSize


@dataclass(frozen=True, slots=True)
class WoodLine:
    """What one wood of the board needs, with the figures a page shows."""

    offer: WoodOffer
    need: WoodNeed
    gross: Figure
    net: Figure
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class Reckoning:
    """Everything reckoned for one board design; money is for one board, lumber and hours for all copies."""

    build: Build
    lumber: LumberNeed
    woods: tuple[WoodLine, ...]
    figures: Mapping[str, Figure]
    asking: Asking
    moving: Moving
    mass: Weighed
    supplies: Supplies
    # How often each operation is done, for all copies.
    operations: Mapping[str, Fraction]
    # What is done to each board once it is cut to size.
    details: tuple[Detail, ...] = ()
    sent: Sent = Sent()


def reckon(
    pattern: Pattern,
    spec: BoardSpec,
    shop: Shop,
    offers: Mapping[str, WoodOffer],
    times: Times | Mapping[str, Fraction],
    rates: Rates,
    terms: Terms | Selling,
    around: Surroundings = USUAL,
) -> Reckoning:
    """Reckon ``spec.quantity`` boards of ``pattern``. ``times`` are those learned of the maker, or minutes as said;
    ``terms`` may be a whole ``Selling``; ``around`` is between which airs the board moves.

    ``offers`` must hold every wood of the pattern and the border wood. Raises a PlannerError naming the
    field at fault when the board cannot be made as asked; that no price exists is part of the result.
    """
    _require_offers(pattern, spec, offers)
    stock = {name: offer.stock for name, offer in offers.items()}
    board = _built(pattern, spec, shop, stock)
    details = details_of(board)
    lumber = lumber_need(board, shop, stock)
    woods = tuple(_wood_line(need, offers[need.wood], spec.use) for need in lumber.woods)
    operations = count_operations(board, lumber)
    figures = _size_figures(board) | _count_figures(board, lumber)
    learned = times if isinstance(times, Times) else times_as_said(times)
    figures |= _lumber_figures(woods) | hour_figures(learned, operations, spec.quantity)
    cost = _cost(board, woods, figures["hours"], rates, details)
    used = supplies_of(*_areas(board), rates)
    selling = terms if isinstance(terms, Selling) else Selling(terms)
    moved, mass = moving(board, around), _mass(woods, spec.quantity, around)
    figures["cost_all"] = cost
    figures["cost"] = of_one = _per_board(cost, spec.quantity, selling.terms.exponent)
    assert isinstance(of_one.value, Decimal)
    # With a wood left out the board weighs more than is told, and nothing is sent by that.
    sent = send(figures, None if mass.unknown else mass.mass, selling)
    if sent.carriage is not None:
        figures["carriage"] = sent.carriage
    sold = settled_terms(selling, sent, of_one.value)
    asking = ask(figures, cost, spec.quantity, sold)
    figures |= money_figures(asking, figures, sold, selling.target)
    if mass.mass is not None and any(detail.key == "hanger" for detail in details):
        figures["hanger_load"] = load_of(mass.mass)
    return Reckoning(board, lumber, woods, figures, asking, moved, mass, used, operations, details, sent)


def reckon_wood(
    pattern: Pattern, spec: BoardSpec, shop: Shop, offers: Mapping[str, WoodOffer], *, exponent: int = 2
) -> Figure:
    """What the wood of ``spec.quantity`` boards costs, by the same build and the same lumber as ``reckon``: the wood's
    part of its cost and nothing else. A money figure of ``exponent`` decimals with a term a wood.

    ``offers`` and errors as in ``reckon``.
    """
    _require_offers(pattern, spec, offers)
    stock = {name: offer.stock for name, offer in offers.items()}
    board = _built(pattern, spec, shop, stock)
    lumber = lumber_need(board, shop, stock)
    return wood_cost(_wood_costs([_wood_line(need, offers[need.wood], spec.use) for need in lumber.woods]), exponent)


def _built(pattern: Pattern, spec: BoardSpec, shop: Shop, stock: Mapping[str, StockSize]) -> Build:
    def spare(needed: int) -> int:
        return spares(needed, shop.spoil_rate, shop.spare_confidence)

    return build(pattern, spec, spec.method, shop, widest_strips(stock, shop), stock=stock, spare=spare)


def _require_offers(pattern: Pattern, spec: BoardSpec, offers: Mapping[str, WoodOffer]) -> None:
    for name in (*pattern.woods, spec.border_wood):
        if name not in offers:
            raise PlannerError(
                f"{wood(name).name} is not among the woods on hand.",
                mend="Add it to the woods on hand, or choose another wood.",
                field="border_wood" if name == spec.border_wood else "",
            )


def _wood_line(need: WoodNeed, offer: WoodOffer, use: str) -> WoodLine:
    if offer.per == "bf":
        gross, net = board_feet(need.gross_mm3), board_feet(need.net_mm3)
        source = "1 board foot = 144 cubic inches"
    else:
        gross, net = cubic_metres(need.gross_mm3), cubic_metres(need.net_mm3)
        source = ""
    return WoodLine(
        offer,
        need,
        Figure(
            gross,
            offer.per,
            "what the rough lengths to be sawn measure: length × width × rough thickness",
            source,
            tuple(_gross_terms(need)),
        ),
        Figure(net, offer.per, "what stays in the finished boards, spares left out", source),
        cautions_for(wood(need.wood), use),
    )


def _gross_terms(need: WoodNeed) -> list[Term]:
    plain = "counted from the parts and the shop's settings"
    return [
        Term("Parts, spares included", Figure(need.pieces, "pieces", plain)),
        Term("of these spares", Figure(need.spares, "pieces", "so many that enough stay good", plain)),
        Term("Strips", Figure(need.strips, "pieces", "parts laid longest first into strips of usable length")),
        Term(
            "Rough lengths",
            Figure(need.rough_lengths, "pieces", "strips side by side, longest first, across the stock's width"),
        ),
    ]


def _size_figures(board: Build) -> dict[str, Figure]:
    spec, pattern = board.spec, board.pattern
    typed, counted = "as chosen for this board", "counted in the pattern"
    pitch = Term("Pitch of a tile", Figure(spec.pitch, "mm", typed))
    if spec.along == "columns":
        names = ("Tiles in a row", "Top and bottom border, each", "Rows", "Left and right border, each")
        rules = (
            "tiles in a row × pitch + 2 × top or bottom border",
            "rows × pitch + 2 × left or right border",
        )
    else:
        names = ("Columns", "Side border, each", "Rows", "Top and bottom border, each")
        rules = ("columns × pitch + 2 × side border", "rows × pitch + 2 × top or bottom border")
    long = (
        Term(names[0], Figure(pattern.width, "tiles", counted)),
        pitch,
        Term(names[1], Figure(spec.side_border, "mm", typed)),
    )
    across = (
        Term(names[2], Figure(pattern.height, "tiles", counted)),
        pitch,
        Term(names[3], Figure(spec.end_border, "mm", typed)),
    )
    return {
        "finished_length": Figure(board.finished_length, "mm", rules[0], terms=long),
        "finished_height": Figure(board.finished_height, "mm", rules[1], terms=across),
        "thickness": Figure(spec.thickness, "mm", typed),
    }


_ONE_A = {
    "tiles": "one a tile",
    "runs": "one a run of neighbouring tiles",
    "deep": "one a run of neighbouring tiles, and equal neighbouring rows made as one where the stock is wide enough",
    "panels": "one slice of a panel a row",
}


def _count_figures(board: Build, lumber: LumberNeed) -> dict[str, Figure]:
    pattern, counts = board.pattern, board.counts
    tiles = sum(pattern.counts().values())
    return {
        "tiles": Figure(
            tiles,
            "tiles",
            "squares of the picture that are not background",
            terms=tuple(
                Term(wood(name).name, Figure(count, "tiles", "counted in the pattern"))
                for name, count in pattern.counts().items()
            ),
        ),
        "pieces": Figure(
            counts.pieces,
            "pieces",
            "pieces to cut and lay for one board, borders included: " + _ONE_A[board.method],
        ),
        "spares": Figure(
            sum(need.spares for need in lumber.woods) + sum(panel.spare for panel in board.panels),
            "pieces",
            "for each panel the fewest slices that leave enough good ones"
            if board.panels
            else "for each wood and length the fewest that leave enough good ones",
            "binomial distribution at the shop's rate of spoiled pieces",
        ),
    }


def _lumber_figures(woods: tuple[WoodLine, ...]) -> dict[str, Figure]:
    gross = sum((line.need.gross_mm3 for line in woods), Fraction(0))
    net = sum((line.need.net_mm3 for line in woods), Fraction(0))
    unit = "bf" if all(line.offer.per == "bf" for line in woods) else "m3"
    measure = board_feet if unit == "bf" else cubic_metres
    return {
        "gross_lumber": Figure(
            measure(gross),
            unit,
            "all woods together, as rough lengths",
            terms=tuple(
                Term(
                    line.offer.name,
                    Figure(
                        measure(line.need.gross_mm3),
                        unit,
                        line.gross.rule,
                        line.gross.source,
                        line.gross.terms,
                    ),
                )
                for line in woods
            ),
        ),
        "net_lumber": Figure(measure(net), unit, "what stays in the finished boards, spares left out"),
        "yield": Figure(net / gross if gross else Fraction(0), "share", "net ÷ gross"),
    }


def _cost(
    board: Build, woods: tuple[WoodLine, ...], hours: Figure, rates: Rates, details: tuple[Detail, ...]
) -> Figure:
    assert isinstance(hours.value, Fraction)
    glue, face, _ = _areas(board)
    copies = board.spec.quantity
    hardware = [HardwareCost(one.words, one.hardware * copies, one.price) for one in details if one.hardware]
    return made_cost(_wood_costs(woods), glue, face, hours.value, rates, quantity=copies, hardware=hardware)


def _areas(board: Build) -> tuple[Fraction, Fraction, Fraction]:
    """Square metres of all copies together: joints, faces that are oiled, faces that are sanded."""
    quantity = board.spec.quantity
    face = square_metres(_faces_mm2(board)) * quantity
    return square_metres(board.joints.glue_area_mm2) * quantity, face, face


def _mass(woods: Sequence[WoodLine], quantity: int, around: Surroundings) -> Weighed:
    """What one board weighs at the shop's moisture; air dry where the shop's air is outside the published table."""
    try:
        moisture = around.shop.moisture
    except PlannerError:
        moisture = AIR_DRY
    return weighed({line.need.wood: line.need.net_mm3 / quantity for line in woods}, moisture)


def _wood_costs(woods: Sequence[WoodLine]) -> list[WoodCost]:
    return [WoodCost(line.offer.name, _amount(line.gross), line.offer.per, line.offer.price) for line in woods]


def _amount(figure: Figure) -> Fraction:
    assert isinstance(figure.value, Fraction)
    return figure.value


def _faces_mm2(board: Build) -> Fraction:
    return 2 * board.finished_length.mm * board.finished_height.mm


def _per_board(cost: Figure, quantity: int, exponent: int) -> Figure:
    if quantity == 1:
        return cost
    assert isinstance(cost.value, Decimal)
    return Figure(
        round_half_up(Fraction(cost.value) / quantity, exponent),
        "money",
        "cost of all ÷ boards",
        terms=(Term("Cost of all boards", cost), Term("Boards", Figure(quantity, "boards", "as chosen"))),
    )
