"""A drawing goes out as PNG, JSON or rows and comes in again tile for tile, as a design or as another drawing."""

from __future__ import annotations

import io
import json
import re
import secrets
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from shopapp.common.models import AuditLine
from shopapp.designs.bench.actions import keep_drawing
from shopapp.designs.exchange import views
from shopapp.designs.models import Design, PatternVersion
from shopapp.lumber.models import WoodOnHand
from shopapp.people.models import Member
from tests.support.shop import add_woods, design_with_pattern

pytestmark = pytest.mark.django_db

ROWS = "1 -, 2 sycamore, 1 padauk\n4 walnut-black\n2 padauk, 2 -"


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    keep_drawing(who=owner, design=design, text=ROWS, name="Low tide", parent=1)
    return design


def out(client, design, form: str) -> bytes:
    return client.get(reverse(f"designs:pattern_{form}", args=[design.pk, 2])).content


def bring(client, *, text="", data: bytes | None = None, file="pattern.png", name="Again", design=None, **more):
    given = {"name": name, "text": text, "form_key": secrets.token_urlsafe(24), **more}
    if data is not None:
        given["file"] = SimpleUploadedFile(file, data)
    address = reverse("designs:pattern_in") + (f"?design={design.pk}" if design else "")
    return client.post(address, given)


@pytest.mark.parametrize("form", ["png", "json", "text"])
@pytest.mark.parametrize("way", ["file", "pasted"])
def test_what_went_out_comes_in_again_tile_for_tile(owner_client, design, form, way):
    data = out(owner_client, design, form)
    if way == "pasted" and form == "png":
        return
    answer = bring(owner_client, data=data) if way == "file" else bring(owner_client, text=data.decode())
    brought = PatternVersion.objects.order_by("-pk").first()
    assert answer.status_code == 302 and answer.url == brought.get_absolute_url()
    assert brought.pattern == ROWS and brought.made == "brought" and brought.parent is None
    assert (brought.design.name, brought.design.source) == ("Again", "pattern")
    assert AuditLine.objects.filter(what="Again was brought in as a pattern.").exists()


def test_the_files_are_named_for_their_drawing_and_hold_what_they_say(owner_client, design):
    answer = owner_client.get(reverse("designs:pattern_png", args=[design.pk, 2]))
    assert answer.headers["Content-Disposition"] == 'attachment; filename="flag-drawing-2.png"'
    image = Image.open(io.BytesIO(answer.content))
    assert (image.size, image.mode) == ((4, 3), "P")
    wood = WoodOnHand.objects.get(wood="walnut-black")
    assert image.convert("RGBA").getpixel((0, 1)) == (*wood.rgb, 255)
    assert image.convert("RGBA").getpixel((0, 0))[3] == 0
    data = json.loads(out(owner_client, design, "json"))
    assert data["title"] == "Flag, drawing 2, Low tide" and data["pattern"] == ROWS.splitlines()
    assert {w["id"]: w["name"] for w in data["woods"]}["walnut-black"] == wood.name
    assert out(owner_client, design, "text").decode() == ROWS + "\n"
    assert owner_client.get(reverse("designs:pattern_png", args=[design.pk, 9])).status_code == 404


def test_a_pattern_comes_in_as_another_drawing_of_a_design(owner_client, design):
    bring(owner_client, text="4 walnut-black", design=design, name="From Joss")
    version = design.versions.get(number=3)
    assert (version.name, version.made) == ("From Joss", "brought")
    assert Design.objects.count() == 1


@pytest.mark.parametrize(("number", "name"), [(1, ""), (2, "Low tide")])
def test_another_drawing_takes_the_name_the_drawing_had_and_neither_design_nor_number(
    owner_client, design, number, name
):
    data = owner_client.get(reverse("designs:pattern_json", args=[design.pk, number])).content
    bring(owner_client, data=data, name="", design=design)
    assert design.versions.order_by("-number").first().name == name


def test_the_title_of_a_file_is_its_name_where_none_was_typed(owner_client, design):
    bring(owner_client, data=out(owner_client, design, "json"), name="")
    assert Design.objects.order_by("-pk").first().name == "Flag, drawing 2, Low tide"


def test_a_pattern_sent_twice_is_brought_once(owner_client, design):
    key = secrets.token_urlsafe(24)
    for _ in range(2):
        assert bring(owner_client, text="4 walnut-black", form_key=key).status_code == 302
    assert Design.objects.count() == 2


BAD = [
    ({"text": ""}, "text", "Choose a file, or paste the rows"),
    ({"text": "2 sycamore\n3 sycamore"}, "text", "Line 2 has 3 cells where line 1 has 2"),
    ({"text": '{"form": "Kerfstead pattern", "version": 2, "pattern": ["1 -"]}'}, "text", "version 2 of its form"),
    ({"text": "4 -\n4 -"}, "text", "nothing to lay yet"),
    ({"text": '{"a":' * 90_000}, "text", "nested too deep"),
    ({"text": "{" + '"form": "Kerfstead pattern", ' * 2 + '"version": 1}'}, "text", "written twice"),
    ({"data": b""}, "file", "empty"),
    ({"data": b"\xff\xd8\xff not text"}, "file", "neither a pattern’s PNG nor a text"),
    ({"data": b"\x89PNG\r\n\x1a\n" + b"\0" * 90}, "file", "holds no pattern of woods"),
    ({"data": b"\x89PNG\r\n\x1a\n" + b"\0" * 300_000}, "file", "larger than any pattern"),
    ({"data": b"1 sycamore\n" * 100_000, "file": "rows.txt"}, "file", "larger than 1 MB"),
    ({"data": b"2 sycamore\n3 sycamore", "file": "rows.txt"}, "file", "Line 2 has 3 cells"),
    ({"text": "x" * 1_000_001}, "text", "too long"),
]


@pytest.mark.parametrize(("given", "field", "words"), BAD, ids=range(len(BAD)))
def test_what_cannot_come_in_is_said_at_its_field_and_nothing_is_kept(owner_client, design, given, field, words):
    answer = bring(owner_client, **given)
    assert answer.status_code == 422
    assert words in " ".join(answer.context["form"].errors[field])
    assert 'value="Again"' in answer.content.decode() and Design.objects.count() == 1
    if given.get("file") and len(given["data"]) < 1000:
        # What was in the file stands in the field for rows, to be mended there.
        assert "2 sycamore\n3 sycamore" in answer.content.decode()


def test_a_picture_of_somebody_elses_is_sent_where_pictures_are_brought(owner_client, design):
    buffer = io.BytesIO()
    Image.new("RGB", (8, 8), "red").save(buffer, "PNG")
    answer = bring(owner_client, data=buffer.getvalue())
    assert "Bring it as a picture instead" in " ".join(answer.context["form"].errors["file"])


def test_only_designs_that_stand_take_another_drawing(owner_client, design):
    for odd in ("999", "x", "9" * 30, "-1"):
        assert owner_client.get(reverse("designs:pattern_in"), {"design": odd}).status_code == 404, odd


# --- the published schema -------------------------------------------------------------------------------------


def agrees(value, schema) -> bool:
    """The few words of JSON Schema (draft 2020-12) that the schema uses, as its specification has them."""
    kinds = {"object": dict, "array": list, "string": str, "integer": int}
    if "const" in schema and value != schema["const"]:
        return False
    if "type" in schema and (not isinstance(value, kinds[schema["type"]]) or isinstance(value, bool)):
        return False
    if isinstance(value, dict):
        named = schema.get("properties", {})
        return all(key in value for key in schema.get("required", [])) and all(
            agrees(value[key], rule) for key, rule in named.items() if key in value
        )
    if isinstance(value, list):
        most = schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", 10**9)
        return most and all(agrees(one, schema.get("items", {})) for one in value)
    if isinstance(value, str):
        return re.search(schema.get("pattern", ""), value) is not None
    return not isinstance(value, int) or schema.get("minimum", value) <= value <= schema.get("maximum", value)


def test_what_goes_out_agrees_with_the_published_schema_and_what_is_refused_does_not(owner_client, design):
    schema = json.loads(owner_client.get(reverse("designs:pattern_form")).content)
    data = json.loads(out(owner_client, design, "json"))
    assert schema == json.loads(Path(views.SCHEMA).read_text()) and agrees(data, schema)
    assert set(data) == set(schema["properties"])
    for change in (
        {"version": 2},
        {"form": "x"},
        {"rows": 201},
        {"pattern": []},
        {"pattern": ["3 Beech"]},
        {"woods": [1]},
    ):
        assert not agrees({**data, **change}, schema), change
        assert bring(owner_client, text=json.dumps({**data, **change})).status_code == 422, change
