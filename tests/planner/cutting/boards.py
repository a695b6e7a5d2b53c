"""Boards for the cutting tests: plain sizes that can be followed on paper."""

from fractions import Fraction

from planner.build import BoardSpec, build
from planner.measures import Length
from planner.pattern import Pattern
from planner.shop import Shop, StockSize

mm = Length.of_mm

# No allowance but the kerfs, the trims and the grip, and nothing spoiled.
PLAIN = Shop(
    glue_line=mm(0),
    gauge_allowance=mm(0),
    dressing=mm(0),
    end_trim=mm(0),
    edge_trim=mm(0),
    flattening=mm(2),
    milling=mm(3),
    rough_end_trim=mm(25),
    rough_edge_trim=mm(6),
    grip=mm(100),
    longest_rip=mm(400),
    shortest_machined=mm(300),
    spoil_rate=Fraction(0),
)
STOCK = StockSize(mm(25), mm(100))
EVERY_STOCK = dict.fromkeys(("beech", "walnut-black", "sapele"), STOCK)


def board(rows, shop=PLAIN, *, method="tiles", pitch=20, thickness=18, side=0, end=0, quantity=1, border="sapele"):
    """``rows`` are strings: b for beech, w for walnut, s for sapele, - for background."""
    woods = {"b": "beech", "w": "walnut-black", "s": "sapele", "-": None}
    pattern = Pattern.of([[woods[cell] for cell in row] for row in rows])
    length = [value if isinstance(value, Length) else mm(value) for value in (pitch, thickness, side, end)]
    return build(pattern, BoardSpec("wall", *length, method, quantity, border), method, shop)
