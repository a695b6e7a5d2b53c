"""A table from a spreadsheet is read as a maker writes one: any order, any separator, units in the head or the cell."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.lumber.models import Delivery, Lot, StockPiece
from tests.support.rack import supplier
from tests.support.shop import add_woods
from tests.support.tables import PLAIN, Bringing


@pytest.fixture
def bringing(owner_client):
    add_woods("walnut-black", "padauk")
    return Bringing(owner_client, supplier("Millrace Yard"))


def test_every_line_is_shown_as_it_was_read_and_nothing_is_in_the_book(bringing):
    lines = ("Black walnut;150;2,4;5/4;12,50", "", ";;;;", 'padauk;6";8 ft;27 mm;9')
    table = "\n".join(("Wood;Width (mm);Length in m;Thickness;Price", *lines))
    walnut, padauk = bringing.lines(table)
    assert (walnut.number, padauk.number) == (2, 5)
    assert (walnut.nominal, walnut.width, walnut.length) == (
        Length.of_inches("5/4"), Length.of_mm(150), Length.of_mm(2400),
    )  # fmt: skip
    assert (padauk.thickness, padauk.width, padauk.length) == (
        Length.of_mm(27), Length.of_inches(6), Length.of_inches(96),
    )  # fmt: skip
    assert walnut.paid == Fraction(150 * 2400) * Length.of_inches("5/4").mm / (144 * Fraction("25.4") ** 3)
    assert Delivery.objects.count() == StockPiece.objects.count() == 0


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_the_separator_is_found(bringing, separator):
    (line,) = bringing.lines(PLAIN.replace(",", separator))
    # 1 1/4 in by 150 by 2000 mm are 4.0365 board feet, at 12.00 each.
    assert line.cost == Decimal("48.44")


@pytest.mark.parametrize(
    "coding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"], ids=lambda name: name
)
def test_a_file_is_read_in_whichever_coding_it_was_saved(bringing, coding):
    table = "wood;thickness;width;length;price;note\nBlack walnut;27;150;2000;12;Größe geprüft, 12 €\n"
    answer = bringing.press("look", file=table.encode(coding))
    assert answer.context["bundles"][0].facts.note == "Größe geprüft, 12 €"
    assert "Größe geprüft" in bringing.typed["table"]


def test_a_line_that_tells_the_separator_is_passed_over(bringing):
    (line,) = bringing.lines("sep=;\r\n" + PLAIN.replace(",", ";").replace("\n", "\r\n"))
    assert line.number == 3


@pytest.mark.parametrize(
    ("head", "cell", "mm"),
    [
        ("width mm", "150", "150"),
        ("Width [cm]", "15", "150"),
        ("width in", "6 1/4", "158.75"),
        ("WIDTH, inches", "6.25", "158.75"),
        ("width_ft", "1/2", "152.4"),
        ("width", '6 1/4"', "158.75"),
        ("width mm", '6 1/4"', "158.75"),
        ("width (m)", "0,15", "150"),
        ("wide", "1' 2\"", "355.6"),
        ("Breadth/cm", "15", "150"),
    ],
)
def test_a_length_has_its_unit_in_the_cell_or_in_the_head(bringing, head, cell, mm):
    (line,) = bringing.lines(f"wood;thickness;{head};length;price\npadauk;27;{cell};2000;12\n")
    assert line.width == Length.of_mm(mm)


@pytest.mark.parametrize(
    ("heads", "cells", "goods"),
    [
        ("price;per", "10;piece", "10"),
        ("price per piece", "10", "10"),
        ("Price (EUR/m)", "10", "20"),
        ("price/m", "10", "20"),
        ("price EUR per running metre", "€ 10,00", "20"),
        ("price", "10 EUR", "10"),
        ("price;per;weight kg", "10;kg;7,5 kg", "75"),
        ("price per m3", "10000", "81"),
    ],
)
def test_a_price_is_for_what_its_head_or_its_line_says(bringing, heads, cells, goods):
    table = f"wood;thickness;width;length;{heads}\npadauk;27;150;2000;{cells}\n"
    (line,) = bringing.lines(table, per="piece")
    assert line.cost == Decimal(goods)


def test_all_that_is_known_of_a_board_comes_in(bringing):
    heads = (
        "species,thickness,measured mm,width,length,pcs,price,grade,planed,cut,sap,shade,meter %,read on,fit on,where"
    )
    cells = "Padauk,5/4,30,150,2000,3,12,FAS,yes,Quarter sawn,x,red,11.5 %,2026-03-01,1.6.2026,loft"
    (line,) = bringing.lines(f"{heads}\n{cells}\n")
    assert bringing.press("book").status_code == 302
    lot = Lot.objects.get()
    assert (lot.nominal_thickness, lot.thickness, lot.count) == (Length.of_inches("5/4"), Length.of_mm(30), 3)
    assert (lot.grade, lot.surfaced, lot.cut, lot.sapwood, lot.shade) == ("FAS", True, "quartered", True, "red")
    assert (lot.moisture, f"{lot.moisture_on} {lot.fit_on}") == (Decimal("11.5"), "2026-03-01 2026-06-01")
    assert line.count == 3 and set(StockPiece.objects.values_list("place", flat=True)) == {"loft"}


def test_what_no_head_is_known_for_is_told_and_not_read(bringing):
    answer = bringing.press("look", "wood,thickness,width,length,price,bin code\npadauk,27,150,2000,12,B7\n")
    assert "Not read, for nothing here is called so: bin code." in answer.content.decode()


def test_a_wood_of_the_table_that_is_not_mine_is_booked_and_told(bringing):
    answer = bringing.press("look", PLAIN.replace("Black walnut", "Sapele"))
    assert "Not among your woods, and booked all the same: Sapele." in answer.content.decode()


def test_the_page_says_how_a_table_is_written(owner_client):
    body = owner_client.get(reverse("lumber:buy_table")).content.decode()
    assert "paste them here" in body and "From a spreadsheet" in owner_client.get("/woods/buy/").content.decode()
