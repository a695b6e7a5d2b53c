"""What lies on the bench is kept as another drawing; two who draw from the same one lose nothing."""

from __future__ import annotations

import json
import re
import secrets

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shopapp.common.models import AuditLine
from shopapp.designs.models import Design, PatternVersion
from shopapp.lumber.models import WoodOnHand
from shopapp.people.models import Member
from tests.support.shop import add_woods, design_with_pattern

ROWS = "1 -, 2 sycamore\n3 walnut-black"
WRITES = re.compile(r"^\s*(INSERT|UPDATE|DELETE|REPLACE)", re.IGNORECASE)


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


def keep(client, design, pattern=ROWS, *, name="", parent="1", key=None, **headers):
    data = {"pattern": pattern, "name": name, "parent": parent, "form_key": key or secrets.token_urlsafe(24)}
    return client.post(reverse("designs:bench_keep", args=[design.pk]), data, **headers)


def begin(client, design, **asked) -> dict:
    """The data block of the bench's page, read as a browser would."""
    body = client.get(reverse("designs:bench", args=[design.pk]), asked).content.decode()
    return json.loads(re.search(r'<script id="bench-data" type="application/json">(.*?)</script>', body, re.S)[1])


def test_a_drawing_is_kept_with_its_name_its_parent_and_how_it_was_made(owner, owner_client, design):
    answer = keep(owner_client, design, name="Beak mended").json()
    version = design.versions.get(number=2)
    assert answer["number"] == 2 and not answer["branched_from_older"]
    assert version.pattern == ROWS and (version.height, version.width) == (2, 3)
    assert (version.name, version.parent.number, version.made, version.kept_by) == ("Beak mended", 1, "bench", owner)
    assert AuditLine.objects.filter(what="Drawing 2 of Flag was kept.", who=owner).exists()


def test_the_second_of_two_who_began_from_one_drawing_is_kept_beside_the_first_and_told(owner_client, design):
    keep(owner_client, design)
    answer = keep(owner_client, design, "3 padauk\n3 sycamore").json()
    assert answer["branched_from_older"] and answer["number"] == 3
    assert "beside drawing 2" in answer["words"] and "from drawing 1" in answer["words"]
    assert [v.parent.number for v in design.versions.filter(number__in=(2, 3))] == [1, 1]


def test_a_second_bench_learns_that_something_was_kept_meanwhile(owner_client, design):
    asked = reverse("designs:bench_newest", args=[design.pk])
    assert owner_client.get(asked).json()["newest"] == 1
    keep(owner_client, design)
    told = owner_client.get(asked).json()
    assert (told["newest"], told["kept_by"]) == (2, "mara")
    assert "Drawing 2 was kept by mara" in told["words"]


def test_what_is_sent_twice_is_kept_once_and_the_answer_says_which(owner_client, design):
    key = secrets.token_urlsafe(24)
    first, second = (keep(owner_client, design, key=key) for _ in range(2))
    assert first.json()["number"] == second.json()["number"] == 2
    assert second.status_code == 200 and "already kept" in second.json()["words"]
    assert design.versions.count() == 2


def test_a_spent_key_under_other_rows_keeps_nothing_and_brings_a_new_key(owner_client, design):
    key = secrets.token_urlsafe(24)
    keep(owner_client, design, key=key)
    answer = keep(owner_client, design, "3 padauk", key=key)
    assert answer.status_code == 422 and design.versions.count() == 2
    assert keep(owner_client, design, "3 padauk", key=answer.json()["form_key"]).json()["number"] == 3


def test_a_bench_that_stays_open_is_given_a_key_for_the_next_time(owner_client, design):
    key = keep(owner_client, design).json()["form_key"]
    assert keep(owner_client, design, "3 padauk", parent="2", key=key).json()["number"] == 3


@pytest.mark.parametrize(
    ("pattern", "words"),
    [
        ("3 -\n3 -", "nothing to lay yet"),
        ("3 sycamore\n2 sycamore", "Row 2 has 2 cells"),
        ("1 purpleheart, 2 sycamore", "“purpleheart” is in the pattern and was never among your woods"),
        ("1 purpleheart, 2 teak", "“purpleheart”, “teak” are in the pattern"),
        ("", "no rows"),
        ("3 sycamore,", "Line 1 cannot be read"),
    ],
)
def test_what_cannot_be_kept_is_said_and_how_to_mend_it(owner_client, design, pattern, words):
    answer = keep(owner_client, design, pattern)
    assert answer.status_code == 422
    assert words in answer.json()["words"] and answer.json()["field"] == "pattern"
    assert PatternVersion.objects.count() == 1


def test_a_wood_that_ran_out_may_still_be_drawn_with_and_is_told_apart(owner_client, design):
    WoodOnHand.objects.filter(wood="padauk").update(on_hand=False)
    assert keep(owner_client, design, "3 padauk").json()["number"] == 2
    data = begin(owner_client, design)
    assert data["woods"][0] == "padauk" and not data["looks"]["padauk"]["on_hand"]
    keep(owner_client, design)
    assert "padauk" not in begin(owner_client, design)["woods"]


def test_a_drawing_it_was_never_begun_from_is_refused(owner_client, design):
    for parent in ("99", "x", "1e3", "9" * 30):
        answer = keep(owner_client, design, parent=parent)
        assert answer.status_code == 422 and "not among this design’s drawings" in answer.json()["words"]


def test_the_page_carries_the_drawing_it_was_opened_at_cell_by_cell(owner_client, design):
    keep(owner_client, design)
    data = begin(owner_client, design)
    assert (data["from"], data["newest"], data["height"], data["width"]) == (2, 2, 2, 3)
    assert data["woods"][:2] == ["sycamore", "walnut-black"] and set(data["woods"][2:]) == {"birch-yellow", "padauk"}
    assert data["rows"] == ["000101", "020202"]
    assert data["looks"]["padauk"]["name"] and data["looks"]["padauk"]["strokes"]
    older = begin(owner_client, design, **{"from": "1"})
    assert (older["from"], older["newest"]) == (1, 2)
    assert owner_client.get(reverse("designs:bench", args=[design.pk]), {"from": "7"}).status_code == 404


def test_without_scripts_the_rows_are_written_and_kept_on_the_same_page(owner_client, design):
    page = {"headers": {"accept": "text/html"}}
    refused = keep(owner_client, design, "3 sycamore\n2 sycamore", **page)
    body = refused.content.decode()
    assert refused.status_code == 422 and 'id="error-summary"' in body and "3 sycamore\n2 sycamore" in body
    assert keep(owner_client, design, **page).status_code == 302
    assert design.versions.count() == 2


def test_what_is_to_be_mended_is_told_with_its_cells_and_the_cells_to_lay(owner_client, design):
    rows = "5 sycamore\n2 sycamore, 1 walnut-black, 2 sycamore\n5 sycamore"
    answer = owner_client.post(reverse("designs:bench_hints", args=[design.pk]), {"pattern": rows}).json()
    (hint,) = answer["hints"]
    assert (hint["kind"], hint["cells"], hint["mend"]["cells"]) == ("single", [[1, 2]], [[1, 2, "sycamore"]])
    assert hint["words"].startswith("A single tile of Black walnut in American sycamore, row 2, column 3")
    chequered = "\n".join([("1 sycamore, 1 walnut-black, " * 6)[:-2], ("1 walnut-black, 1 sycamore, " * 6)[:-2]] * 6)
    many = owner_client.post(reverse("designs:bench_hints", args=[design.pk]), {"pattern": chequered}).json()
    assert len(many["hints"][0]["cells"]) == 60 and len(many["hints"][0]["mend"]["cells"]) == 72


def test_counts_are_asked_for_and_nothing_is_written(owner_client, design):
    with CaptureQueriesContext(connection) as taken:
        answer = owner_client.post(reverse("designs:bench_hints", args=[design.pk]), {"pattern": ROWS})
    assert answer.json()["counts"] == {"sycamore": 2, "walnut-black": 3} and answer.json()["runs"] == 2
    assert not [q["sql"] for q in taken if WRITES.match(q["sql"])]


def test_a_picture_without_a_drawing_is_sent_to_its_woods_first(owner_client, design):
    design = Design.objects.create(name="Not yet", grid=design.grid)
    answer = owner_client.get(reverse("designs:bench", args=[design.pk]))
    assert answer.url == reverse("designs:woods", args=[design.pk])
