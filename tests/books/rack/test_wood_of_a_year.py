"""Wood bought, used, wasted and on the rack, held against plain SQL over what stood there at the end of each day."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random
from unittest import mock

import pytest
from django.db import connection
from django.utils import timezone

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.books.entries import Currency
from shopapp.books.period import Period
from shopapp.books.rack.moves import rack_moves, shelf_moves
from shopapp.books.rack.tables import entries_table, rack_tables, shelf_table
from shopapp.books.tables import Row, Table
from shopapp.common.woodmeasure import BOARD_FEET
from shopapp.lumber.models import StockEntry, StockPiece, Supplier, SupplyEntry
from shopapp.lumber.stock.actions import Size, measure_piece, scrap_piece, split_piece, surface_piece, undo_entry
from shopapp.lumber.stock.buying import DeliveryFacts, book_delivery
from shopapp.lumber.stock.promises import bring_back, bring_back_whole, take, want_wood
from shopapp.lumber.supplies.actions import add_supply, buy_supply, count_supply, undo_supply_entry, use_supply
from shopapp.people.models import Member
from tests.support.rack import line, supplier

EURO = Currency("€", 2)
A_BOARD_FOOT = 144 * Fraction("25.4") ** 3
WOODS = ("walnut-black", "padauk", "sycamore")
FIRST = date(2025, 10, 20)
DAYS = 130


def by_sql() -> dict[str, tuple[Fraction, Decimal]]:
    """What stands on the rack now: board feet and worth by wood."""
    found: dict[str, tuple[Fraction, Decimal]] = {}
    with connection.cursor() as cursor:
        cursor.execute("SELECT wood, thickness, width, length, worth FROM lumber_stockpiece WHERE state = 'here'")
        for wood, thick, wide, long, worth in cursor.fetchall():
            feet, sum_of = found.get(wood, (Fraction(0), Decimal(0)))
            more = Fraction(thick * wide * long, 10**18) / A_BOARD_FOOT
            found[wood] = feet + more, sum_of + Decimal(str(worth)).quantize(Decimal("0.01"))
    return found


class Yard:
    """Does one thing or another with the wood, by chance."""

    def __init__(self, owner, seed: int) -> None:
        self.owner, self.random = owner, Random(seed)
        self.seller = Supplier.objects.first() or supplier()
        self.job = want_wood(label="Flag", key="job 1")

    def piece(self, state: str = "here") -> StockPiece | None:
        return (
            StockPiece.objects.filter(state=state).order_by("?" if False else "pk")[self.random.randrange(6) :].first()
        )

    def bought(self, today: date) -> None:
        lines = [line(wood, count=2, price=Decimal(self.random.randrange(500, 1900)) / 100) for wood in WOODS[:2]]
        on = today - timedelta(days=self.random.randrange(4))
        book_delivery(who=self.owner, facts=DeliveryFacts(self.seller, on, carriage=Decimal("7.31")), lines=lines)

    def split(self, _: date) -> None:
        piece = self.piece()
        half = Size(piece.thickness, piece.width, Length.of_mm(piece.length.mm * 2 // 5))
        split_piece(who=self.owner, piece=piece, parts=[half, half])

    def measured(self, _: date) -> None:
        piece = self.piece()
        measure_piece(who=self.owner, piece=piece, size=Size(piece.thickness, piece.width - Length.of_mm(3),
                                                              piece.length))  # fmt: skip

    def surfaced(self, _: date) -> None:
        piece = self.piece()
        surface_piece(who=self.owner, piece=piece, thickness=piece.thickness - Length.of_mm(2))

    def scrapped(self, _: date) -> None:
        scrap_piece(who=self.owner, piece=self.piece(), reason="worm")

    def taken(self, _: date) -> None:
        take(who=self.owner, demand=self.job, pieces=[self.piece()])

    def back(self, _: date) -> None:
        piece = self.piece("taken")
        if self.random.random() < 0.4:
            bring_back_whole(who=self.owner, piece=piece)
        else:
            part = Size(piece.thickness, piece.width, Length.of_mm(piece.length.mm // 3))
            bring_back(who=self.owner, piece=piece, offcuts=[part])

    def undone(self, _: date) -> None:
        undo_entry(who=self.owner, entry=StockEntry.objects.first())

    def something(self, today: date) -> None:
        do = self.random.choice(("bought", "split", "measured", "surfaced", "scrapped", "taken", "taken", "back",
                                 "undone"))  # fmt: skip
        try:
            getattr(self, do)(today)
        except (PlannerError, AttributeError):
            # There was no such piece, or it was not to be done.
            self.bought(today)


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def days(owner):
    """What SQL found on the rack when each day ended."""
    yard, found = Yard(owner, 7), {}
    for n in range(0, DAYS, 2):
        now = datetime.combine(FIRST + timedelta(days=n), datetime.min.time(), UTC) + timedelta(hours=12)
        with mock.patch.object(timezone, "now", lambda now=now: now):
            yard.something(now.date())
            found[now.date()] = by_sql()
    return found


def test_opening_bought_used_wasted_and_the_rest_make_what_is_on_the_rack(db, days):
    moves = list(rack_moves())
    assert {move.way for move in moves} == {"bought", "used", "wasted", "otherwise"}
    for period in (Period(2025), Period(2026), *Period(2025).months[9:], *Period(2026).months[:3]):
        for table in rack_tables(moves, {}, period, EURO, BOARD_FEET):
            for row in table.rows:
                opening, *between, closing = (cell.value for cell in row.cells[1:])
                assert opening + sum(between) == closing


def _row(table: Table, wood: str) -> Row | None:
    return next((row for row in table.rows if row.cells[0].value == wood), None)


def test_the_rack_at_the_end_is_what_sql_finds_there(db, days):
    feet, worth = rack_tables(list(rack_moves()), {}, Period(2026), EURO, BOARD_FEET)
    now = by_sql()
    for wood in now:
        told = [
            next(row for row in table.rows if row.cells[0].value == wood).cells[-1].value for table in (feet, worth)
        ]
        assert tuple(told) == now[wood]
    assert feet.rows[-1].cells[-1].value == sum(feet for feet, _ in now.values())
    assert worth.rows[-1].cells[-1].value == sum(worth for _, worth in now.values())


def test_every_day_s_rack_is_what_sql_found_there_that_day(db, days):
    moves = list(rack_moves())
    written = {entry.pk: timezone.localdate(entry.at) for entry in StockEntry.objects.all()}
    for day, rack in days.items():
        there: dict[str, list] = {}
        for move in moves:
            if written[move.entry] <= day:
                one = there.setdefault(move.wood, [Fraction(0), Decimal(0)])
                one[0] += move.feet
                one[1] += move.worth
        assert {wood: tuple(one) for wood, one in there.items() if one[0]} == rack, day


def test_a_cell_opens_the_entries_that_add_up_to_it(db, days):
    moves = list(rack_moves())
    feet, worth = rack_tables(moves, {}, Period(2026), EURO, BOARD_FEET)
    for way, column in (("bought", 2), ("used", 3), ("wasted", 4), ("otherwise", 5)):
        for wood in ("", *WOODS[:2]):
            told = entries_table(moves, {}, way, wood, Period(2026), EURO, BOARD_FEET).rows[-1].cells
            rows = [_row(table, wood or "All woods") for table in (feet, worth)]
            if all(rows):
                assert [told[4].value, told[5].value] == [row.cells[column].value for row in rows]


def test_what_is_used_up_balances_by_its_own_entries(owner):
    oil = add_supply(who=owner, values={"name": "Hard oil", "kind": "finish", "unit": "ml"})
    buy_supply(who=owner, supply=oil, amount=Decimal(1000), cost=Decimal("38.00"), on=date(2025, 12, 20))
    use_supply(who=owner, supply=oil, amount=Decimal(180), on=date(2025, 12, 31))
    wrong = use_supply(who=owner, supply=oil, amount=Decimal(100), on=date(2026, 1, 2))
    with mock.patch.object(timezone, "now", lambda: datetime(2026, 1, 3, 12, tzinfo=UTC)):
        undo_supply_entry(who=owner, entry=wrong)
    oil.refresh_from_db()
    count_supply(who=owner, supply=oil, amount=Decimal(800), on=date(2026, 2, 1))
    for year, opening in ((2025, Decimal(0)), (2026, Decimal("31.16"))):
        row, whole = (
            [cell.value for cell in one.cells] for one in shelf_table(list(shelf_moves()), Period(year), EURO).rows
        )
        assert row[1] == opening and row[1] + sum(row[2:5]) == row[5] and whole[1:6] == row[1:6]
    oil.refresh_from_db()
    assert row[5] == oil.worth == sum(SupplyEntry.objects.values_list("worth", flat=True)) and row[6] == "800 ml"
