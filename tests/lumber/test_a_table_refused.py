"""What is wrong in a table is said by line and column with how to write it; what may be right is asked."""

from __future__ import annotations

from decimal import Decimal

import pytest

from planner.measures import Length
from shopapp.lumber.buying.tables import reading
from shopapp.lumber.models import Delivery, StockPiece, Supplier
from tests.support.rack import boards, supplier
from tests.support.shop import add_woods
from tests.support.tables import PLAIN, Bringing

HEADS = "wood;thickness;width;length;price"


@pytest.fixture
def bringing(owner_client):
    add_woods("walnut-black", "padauk")
    return Bringing(owner_client, supplier("Millrace Yard"))


def one(**changes: str) -> str:
    """A table of one line, its cells changed or more of them."""
    cells = {"wood": "padauk", "thickness": "27", "width": "150", "length": "2000", "price": "12", **changes}
    return f"{';'.join(cells)}\n{';'.join(cells.values())}\n"


@pytest.mark.parametrize(
    ("changes", "column", "words"),
    [
        ({"width": "0"}, "width", "no length"),
        ({"width": "-150"}, "width", "less than nought"),
        ({"width": "1,234"}, "width", "two ways"),
        ({"width": "1.234,5"}, "width", "two ways"),
        ({"length": "2.000"}, "length", "decimals have commas in this table"),
        ({"price": "€ 1.250"}, "price", "decimals have commas in this table"),
        ({"width": "150 kg"}, "width", "cannot be read"),
        ({"width": '6" mm'}, "width", "two units"),
        ({"width": "wide"}, "width", "cannot be read"),
        ({"width": ""}, "width", "Nothing is written"),
        ({"width": "=A1*25.4"}, "width", "is a formula"),
        ({"width": "'=1+1"}, "width", "cannot be read"),
        ({"width": "+A1"}, "width", "is a formula"),
        ({"length": "2 km"}, "length", "cannot be read"),
        ({"thickness": "1/4"}, "thickness", "thinner than stock"),
        ({"thickness": "05. Apr"}, "thickness", "made of a fraction"),
        ({"thickness": "4-Apr"}, "thickness", "made of a fraction"),
        ({"thickness": "04.04.2026"}, "thickness", "made of a fraction"),
        ({"price": "1,234"}, "price", "two ways"),
        ({"price": "$ 12"}, "price", "cannot be read"),
        ({"price": "12.34567"}, "price", "too many decimals"),
        ({"count": "0"}, "count", "too small"),
        ({"count": "2.5"}, "count", "not a whole number"),
        ({"wood": "padouk"}, "wood", "Did you mean padauk?"),
        ({"wood": "plastic"}, "wood", "not among the woods here"),
        ({"cut": "slanting"}, "cut", "Write flat, rift or quartered"),
        ({"surfaced": "perhaps"}, "surfaced", "neither yes nor no"),
        ({"per": "stack"}, "per", "Write bf, m3"),
        ({"moisture": "61"}, "moisture", "too large"),
        ({"moisture": "0"}, "moisture", "No wood reads nought"),
        ({"bought on": "02/03/2026"}, "bought on", "could be two days"),
        ({"bought on": "2026-02-30"}, "bought on", "is no day"),
        ({"bought on": "1826-02-03"}, "bought on", "no day of a delivery"),
        ({"fit on": "2026-03-01", "moisture": "9", "read on": "2026-03-02"}, "fit on", "before its meter reading"),
        ({"grade": "x" * 41}, "grade", "too long"),
        ({"mark": "oak 7"}, "mark", "Write it like W7"),
        ({"mark": "P1", "count": "2"}, "count", "of one board"),
        ({"counted": "by eye"}, "counted", "no way of counting"),
    ],
)
def test_a_cell_that_cannot_be_read_is_named_with_how_to_write_it(bringing, changes, column, words):
    table = one(**changes)
    (fault,) = bringing.faults(table)
    assert fault.startswith(f"Line 2, “{column}”: ") and words in fault
    assert bringing.typed["table"] == table and Delivery.objects.count() == 0


def test_every_fault_of_the_whole_table_is_named_and_no_line_of_it_is_booked(bringing):
    table = f"{HEADS}\npadauk;27;150;2000;12\npadauk;27;0;2000;12\n\npadauk;27;150;x;1,234\npadauk;27\n"
    faults = bringing.faults(table)
    assert [fault.split(":")[0] for fault in faults] == [
        "Line 3, “width”", "Line 5, “length”", "Line 5, “price”", "Line 6",
    ]  # fmt: skip
    assert "ends after 2 of 5 columns" in faults[3]
    assert bringing.press("book").status_code == 422 and StockPiece.objects.count() == 0


def test_a_full_stop_before_three_digits_is_read_as_decimals_where_no_decimal_has_a_comma(bringing):
    (line,) = bringing.lines(PLAIN.replace("150", "158.751"))
    assert line.width == Length.of_mm("158.751")
    (fault,) = bringing.faults(PLAIN.replace(",", "\t").replace("150", "158.751").replace("\t12\n", "\t12,50\n"))
    assert fault.startswith("Line 2, “width”: “158.751” could be read two ways")


def test_a_decimal_comma_between_commas_is_explained(bringing):
    (fault,) = bringing.faults(PLAIN.replace("2000,12", "2000,12,50"))
    assert "Line 2" in fault and "decimal comma" in fault


@pytest.mark.parametrize(
    ("heads", "words"),
    [
        ("thickness,width,length,price", "No column is called “wood”"),
        ("wood,thickness,width,length", "No column is called “price”, nor “worth”"),
        ("wood,thickness,width,length,price,worth", "There is a price beside it"),
        ("wood,species,thickness,width,length,price", "says the same as “wood”"),
        ("wood,thickness,width stones,length,price", "no unit of a length"),
        ("wood,thickness,width,length,price USD", "not this shop’s money"),
        ("wood,thickness,width,length,price per armful", "nothing a price is for"),
        ("wood,thickness,width,length,price,weight lb", "Write it in kg"),
    ],
)
def test_heads_that_lack_or_contradict_are_named(bringing, heads, words):
    row = ",".join("padauk" if "wood" in head or "species" in head else "12" for head in heads.split(","))
    assert any(words in fault for fault in bringing.faults(f"{heads}\n{row}\n"))


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("", "There is no table yet"),
        (" \n;;;\n", "There is no table yet"),
        ("padauk;27;150;2000;12\n", "should name the columns"),
        (f"{HEADS}\n", "no line below the heads"),
        (f'{HEADS}\n"padauk;27;150;2000;12\n' + "padauk;27;150;2000;12\n" * 30, "quotation mark"),
    ],
)
def test_what_is_no_table_is_said(bringing, table, words):
    assert any(words in fault for fault in bringing.faults(table))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"PK\x03\x04" + b"\0" * 200, "a file of another program"),
        (b"\x81\x8d" * 50, "signs that cannot be read"),
        (b"wood" * 900_000, "larger than 3 MB"),
        (b"a,b\0c\n", "no text can hold"),
    ],
)
def test_a_file_that_is_no_table_is_said(bringing, data, words):
    answer = bringing.press("look", "", file=data)
    assert answer.status_code == 422
    assert any(words in line["message"] for line in answer.context["form"].summary())


def test_twenty_thousand_lines_are_refused_before_any_is_read(bringing, monkeypatch):
    monkeypatch.setattr(reading, "_read_row", None)
    table = PLAIN + PLAIN.splitlines()[1].join(["", "\n"]) * 19_999
    (fault,) = bringing.faults(table)
    assert "There are 20,001 lines in it. Bring at most 2,000 at a time." in fault
    assert len(bringing.typed["table"]) == len(table)


@pytest.mark.parametrize(
    ("changes", "tick", "words"),
    [
        ({"price": "0"}, "gift", "Line 2 cost nothing."),
        ({"length": "10.5 m"}, "longer", "Line 2 would be longer than 10 m."),
        ({"moisture": "35"}, "reading", "Line 2 would have a meter reading outside 4 to 30 %."),
        ({"bought from": "Eel Quay Timber"}, "sellers", "Eel Quay Timber: not among those you buy from."),
    ],
)
def test_what_may_be_a_slip_is_asked_and_booked_when_it_is_so(bringing, changes, tick, words):
    answer = bringing.press("look", one(**changes))
    assert answer.status_code == 200 and words in answer.content.decode()
    answer = bringing.press("book")
    assert answer.status_code == 422 and words in answer.context["form"].errors[tick][0]
    assert Delivery.objects.count() == 0 and Supplier.objects.count() == 1
    assert bringing.press("book", **{tick: "on"}).status_code == 302
    assert StockPiece.objects.count() == 1


@pytest.mark.parametrize("changes", [{"price": "0", "gift": "yes"}, {"length": "10.5 m", "longer": "yes"}])
def test_what_the_table_answers_itself_is_not_asked(bringing, changes):
    assert bringing.press("look", one(**changes)).context["questions"] == []


def test_a_mark_that_a_piece_has_already_is_named_by_its_line(bringing, owner):
    boards(owner, 2, wood="padauk")
    (fault,) = bringing.faults(one(mark="P2"))
    assert fault.startswith("Line 2, “mark”: P2 is the mark of a piece in the book.")
    (fault,) = bringing.faults("mark;" + HEADS + "\nP7;padauk;27;150;2000;12\nP7;padauk;27;150;2000;12\n")
    assert fault.startswith("Line 3, “mark”: Line 2 has P7 already.")


def test_a_free_mark_is_kept_and_the_others_are_numbered_behind_it(bringing):
    bringing.lines("mark;" + HEADS + "\n;padauk;27;150;2000;12\nP7a;padauk;27;150;2000;12\n")
    bringing.press("book")
    assert list(StockPiece.objects.order_by("pk").values_list("mark", flat=True)) == ["P8", "P7a"]


def test_a_line_this_seller_cannot_count_is_named_as_the_table_numbers_it(bringing):
    Supplier.objects.update(rule="surface")
    table = f"{HEADS}\npadauk;27;150;2000;12\n\npadauk;27;150;200;12\n"
    (fault,) = bringing.faults(table)
    assert fault.startswith("Line 4: ") and "shorter than a foot" in fault and "line 2" not in fault


def test_two_thousand_boards_and_no_more(bringing):
    assert any(
        "There are 2,001 boards" in fault for fault in bringing.faults(one(count="2000") + "padauk;27;150;2000;12\n")
    )


def test_without_anybody_named_the_table_is_asked_whom_it_is_from(bringing):
    (fault,) = bringing.faults(PLAIN, supplier="")
    assert "Nobody is named whom this was bought from" in fault


def test_what_two_lines_of_one_delivery_say_of_it_must_agree(bringing):
    (fault,) = bringing.faults(f"{HEADS};carriage\npadauk;27;150;2000;12;5\npadauk;27;150;2000;12;6\n")
    assert fault.startswith("Line 3, “carriage”: It is another than in a line above")


def test_carriage_beside_a_table_of_two_deliveries_is_asked_for_in_a_column(bringing):
    table = f"{HEADS};bought on\npadauk;27;150;2000;12;2026-03-01\npadauk;27;150;2000;12;2026-03-02\n"
    (fault,) = bringing.faults(table, carriage="5")
    assert "Carriage is of one delivery, and these are 2" in fault


def test_a_table_booked_twice_is_in_the_book_once(bringing):
    bringing.lines(PLAIN)
    assert bringing.press("book").url == Delivery.objects.get().get_absolute_url()
    assert bringing.press("book").status_code == 302 and Delivery.objects.count() == 1


def test_a_cost_that_was_never_shown_is_shown_before_it_is_booked(bringing):
    bringing.lines(PLAIN)
    answer = bringing.press("book", PLAIN.replace(",12", ",13"))
    assert answer.status_code == 422 and "reckoned anew" in answer.content.decode()
    assert bringing.press("book").status_code == 302


def test_a_delivery_that_seems_to_be_in_the_book_already_is_told(bringing):
    bringing.lines(PLAIN)
    bringing.press("book")
    again = Bringing(bringing.client, Supplier.objects.get())
    body = again.press("look", PLAIN).content.decode()
    assert "The book has a delivery from Millrace Yard of 02 Mar 2026 already." in body


def test_a_seller_written_nearly_as_one_known_is_told(bringing):
    body = bringing.press("look", one(**{"bought from": "Milrace Yard"})).content.decode()
    assert "Is Milrace Yard the same as Millrace Yard?" in body


def test_what_stands_behind_our_apostrophe_comes_in_as_it_was(bringing):
    bringing.lines(one(place="'=1+1", grade="'-", note="'@home"))
    bringing.press("book")
    piece = StockPiece.objects.get()
    assert (piece.place, piece.lot.grade, piece.lot.delivery.note) == ("=1+1", "-", "@home")
    assert piece.worth > Decimal(0)
