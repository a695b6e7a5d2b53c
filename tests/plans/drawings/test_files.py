"""A drawing taken away as a file: named safely, as large as its scale says, complete by itself."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from shopapp.people.models import Member
from shopapp.plans.cutting.doors import cutting_of as cutting_of_plan
from shopapp.plans.drawings.readers import file_name
from shopapp.plans.timetable.doors import making_of_plan
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.evenings import kept as keep_evenings
from tests.support.sawing import a_rack, keep
from tests.support.week import a_week

pytestmark = pytest.mark.django_db
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    """With a cut plan and a timetable kept."""
    plan = work.kept(owner)
    a_rack(owner)
    keep(owner, cutting_of_plan(plan))
    a_week(owner)
    keep_evenings(owner, making_of_plan(plan.pk))
    return plan


def names_on(client, address: str) -> list[str]:
    page = client.get(address).content.decode()
    return re.findall(rf'href="{address.split("?")[0]}([\w-]+)\.svg" download', page)


def test_every_drawing_on_the_pages_is_saved_as_a_file_of_its_own(owner_client, plan):
    address = f"/plans/{plan.pk}/drawings/"
    names = names_on(owner_client, address)
    assert {"laid", "parts-1", "timetable-1", "seams", "money"} <= set(names)
    pages = owner_client.get(f"{address}set-ups/").content.decode()
    for kind in set(re.findall(r"\?kind=(\w+)", pages)):
        found = owner_client.get(f"{address}set-ups/?kind={kind}").content.decode()
        names += re.findall(rf'href="{address}([\w-]+)\.svg" download', found)
    assert len([name for name in names if name.startswith("set-up-")]) > 8
    for name in [*names, "laid-face-down"]:
        answer = owner_client.get(f"{address}{name}.svg")
        assert answer.status_code == 200, name
        assert answer.headers["Content-Type"].startswith("image/svg+xml")
        assert answer.headers["Content-Disposition"] == f'attachment; filename="flag-drawing-1-{name}.svg"'
        root = ElementTree.fromstring(answer.content.decode())
        assert root.tag == f"{SVG}svg" and root.get("role") == "img" and root.get("aria-label")
        # One unit is a millimetre, so that a rule can be held against what is printed; it stands on A4 and Letter.
        wide, high = root.get("viewBox").split()[2:]
        assert (root.get("width"), root.get("height")) == (f"{wide}mm", f"{high}mm")
        assert float(wide) <= 186 and float(high) <= 245, name
        assert not [one for one in root.iter() if one.tag in (f"{SVG}script", f"{SVG}style", f"{SVG}image")]


@pytest.mark.parametrize(
    "name", ["parts-99", "parts-0", "set-up-999", "set-up-01", "timetable-500", "nonsense", "money-1", "laid-1"]
)
def test_a_drawing_that_is_none_is_not_found(owner_client, plan, name):
    assert owner_client.get(f"/plans/{plan.pk}/drawings/{name}.svg").status_code == 404


def test_what_is_not_kept_yet_has_no_file(owner, owner_client):
    bare = work.kept(owner)
    for name in ("set-up-1", "timetable-1"):
        assert owner_client.get(f"/plans/{bare.pk}/drawings/{name}.svg").status_code == 404
    assert owner_client.get(f"/plans/{bare.pk}/drawings/laid.svg").status_code == 200


@pytest.mark.parametrize(
    ("label", "name"),
    [
        ("Heron, drawing 2", "heron-drawing-2-laid.svg"),
        ('"; filename="x.exe', "filenamexexe-laid.svg"),
        ("../../etc/passwd", "etcpasswd-laid.svg"),
        ("Käfer\r\nSet-Cookie: a=b", "kafer-set-cookie-ab-laid.svg"),
        ("木", "board-laid.svg"),
        ("a" * 120, f"{'a' * 60}-laid.svg"),
    ],
)
def test_a_file_is_named_in_small_letters_digits_and_hyphens(label, name):
    assert file_name(label, "laid") == name


def test_the_label_of_a_job_reaches_no_header_as_it_is(owner, owner_client):
    job = work.job(owner, work.kept(owner), label='Flag "; x=1')
    answer = owner_client.get(f"/jobs/{job.pk}/drawings/laid.svg")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="flag-x1-laid.svg"'


def test_a_shop_in_inches_has_its_set_ups_in_inches(owner_client, plan):
    shop = the_workshop()
    Workshop.objects.update_or_create(pk=1, defaults={**_fields(shop), "unit": "in"})
    drawn = owner_client.get(f"/plans/{plan.pk}/drawings/set-up-1.svg").content.decode()
    assert "Sizes in inches." in drawn and "\u00a0in" in drawn and "\u00a0mm" not in drawn


def _fields(shop: Workshop) -> dict:
    return {field.name: getattr(shop, field.name) for field in Workshop._meta.concrete_fields if field.name != "id"}


def test_a_shop_that_says_thicknesser_reads_it_on_its_drawings(owner_client, plan):
    shop = the_workshop()
    Workshop.objects.update_or_create(pk=1, defaults={**_fields(shop), "words": "planer"})
    page = owner_client.get(f"/plans/{plan.pk}/drawings/set-ups/?kind=plane").content.decode()
    assert "thicknesser" in page and "jointer" not in page
