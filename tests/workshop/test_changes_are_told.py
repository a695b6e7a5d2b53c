"""Whoever reads later finds every changed setting in a sentence of its own: from what, to what."""

from __future__ import annotations

import pytest

from shopapp.common.models import AuditLine
from shopapp.workshop.models import Workshop
from tests.workshop.test_settings import send


def told() -> list[str]:
    return list(AuditLine.objects.order_by("pk").values_list("what", flat=True))


@pytest.mark.parametrize(
    ("key", "typed", "sentence"),
    [
        ("safe", {"crosscut_kerf": "2.5"}, "Saw and safe limits: Crosscut kerf changed from 3 mm to 2.5 mm."),
        (
            "safe",
            {"rip_kerf": "3.0002"},
            "Saw and safe limits: Rip kerf changed from 3 mm to 3.0002 mm.",
        ),
        (
            "names",
            {"wood_in": "bf"},
            "Names and units: What wood is counted in changed from cubic decimetres with millimetres, board feet with "
            "inches to board feet.",
        ),
        ("allowances", {"spoil_rate": "5"}, "Allowances: Share of pieces spoiled changed from 2 % to 5 %."),
        (
            "supplies",
            {"glue_g_per_m2": "210"},
            "Glue, abrasives, finish: Glue spread in g/m² changed from 200 to 210.",
        ),
        ("hours", {"hour": "25"}, "Hours: Worth of an hour changed from € 20.00 to € 25.00."),
        (
            "hours",
            {"time_crosscut": "1/3"},
            "Hours: “Crosscutting parts” is 1/3 min a cut, set by hand.",
        ),
        (
            "places",
            {"people": "2"},
            "People, places and clamping: People timetables reckon with changed from 1 to 2.",
        ),
        (
            "climate",
            {"home_moisture": "7.5"},
            "Air of the shop and of the home: Moisture read at home in % changed from nothing to 7.5.",
        ),
        ("selling", {"tax_included": ""}, "Selling: Tax included in the price changed from yes to no."),
        ("selling", {"ending": "9"}, "Selling: Ending of prices changed from nothing to € 9.00."),
        ("names", {"unit": "in"}, "Names and units: Unit of lengths changed from millimetres to inches."),
    ],
)
def test_a_change_is_told_with_what_stood_and_what_stands(owner_client, key, typed, sentence):
    send(owner_client, key, **typed)
    assert told() == [sentence]


def test_many_changes_at_once_are_all_told_to_their_end(owner_client):
    lengths = [
        "gauge_allowance",
        "dressing",
        "end_trim",
        "edge_trim",
        "flattening",
        "milling",
        "rough_end_trim",
        "rough_edge_trim",
        "glue_line",
    ]
    send(owner_client, "allowances", **dict.fromkeys(lengths, "7"))
    assert len(told()) == len(lengths) == 9
    assert all(line.endswith("to 7 mm.") for line in told())


def test_a_fee_is_told_when_it_comes_changes_and_goes(owner_client):
    stall = {"fee_0_name": "stall", "fee_0_percent": "6", "fee_0_fixed": "0.20", "fee_0_on_carriage": "on"}
    send(owner_client, "selling", **stall)
    send(owner_client, "selling", fee_0_percent="6.5", fee_0_on_tax="on")
    send(owner_client, "selling", fee_0_name="", fee_0_percent="", fee_0_fixed="")
    assert told() == [
        "Selling: The fee “stall” (6 % and € 0.20, on carriage too) was added.",
        "Selling: The fee “stall” changed from (6 % and € 0.20, on carriage too) to "
        "(6.5 % and € 0.20, on carriage and tax too).",
        "Selling: The fee “stall” (6.5 % and € 0.20, on carriage and tax too) was taken away.",
    ]


def test_a_form_sent_back_untouched_tells_nothing(owner_client):
    send(owner_client, "hours")
    assert told() == []
    assert Workshop.objects.get().times == {}
