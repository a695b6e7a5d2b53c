"""Woods are matched several ways around what the maker says, and one press takes a way; nothing is kept by looking."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from planner.build import BoardSpec
from planner.reckoning import reckon_wood
from shopapp.common.images import image_bytes
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import PatternVersion
from shopapp.designs.pictures.actions import bring_picture
from shopapp.designs.planning import pattern_from_text
from shopapp.designs.woods.planning import StoredGrid
from shopapp.designs.woods.weighing.planning import amount
from shopapp.lumber.models import WoodOnHand
from shopapp.lumber.planning import offers
from shopapp.people.models import Member
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop.readers import first_sizes, the_workshop
from tests.support.shop import add_woods, picture, typed_woods, upload

# A pale face with a shadow, dark hair, a red cap and a collar nearly of the face's own colour.
INKS = {
    "h": (52, 36, 30), "f": (236, 200, 160), "s": (206, 160, 118),
    "c": (178, 52, 34), "l": (230, 196, 160), "e": (30, 24, 22),
}  # fmt: skip
FACE = """
..cccccc..
.cccccccc.
.hhhhhhhh.
.hffffffh.
.hfefffeh.
.hffffffs.
..ffssffs.
..ffffss..
...llll...
..llllll..
"""


@pytest.fixture
def face(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk", "beech", "sapele")
    design = bring_picture(who=owner, name="Face", upload=upload(picture(FACE, inks=INKS)))
    run_waiting_tasks()
    design.refresh_from_db()
    return design


def address(design):
    return reverse("designs:woods", args=[design.pk])


def page_of(client, design, woods=None, **say):
    """The page as it answers what is said, nothing kept."""
    if woods is None and not say:
        return client.get(address(design)).context["page"]
    woods = woods or page_of(client, design).worn
    answer = client.post(address(design), typed_woods(design, woods, **{"look": "1", **say}))
    return answer.context["page"]


def colour(letter: str) -> str:
    return "{:02x}{:02x}{:02x}".format(*INKS[letter])


def colours_of(design) -> list[str]:
    """The grid's colours as six digits each, most worn first."""
    return StoredGrid(image_bytes(design.grid)).names


def tiles(letters: str) -> int:
    return sum(FACE.count(letter) for letter in letters)


def test_the_ways_stand_from_true_to_the_colours_to_true_to_the_shapes_and_one_is_suggested(owner_client, face):
    ways = page_of(owner_client, face).ways
    assert 2 <= len(ways) <= 4
    assert (ways[0].name, ways[-1].name) == ("True to the colours", "True to the shapes")
    assert [way.suggested for way in ways].count(True) == 1
    assert len({way.drawing for way in ways}) == len(ways)
    # Nearer the colours at one end, more of the edges at the other.
    first, last = ways[0].scores, ways[-1].scores
    assert amount(first.off) < amount(last.off) and first.kept < last.kept


def test_the_suggested_way_is_the_choice_to_begin_with(owner_client, face):
    page = page_of(owner_client, face)
    assert [way.chosen for way in page.ways] == [way.suggested for way in page.ways]


def test_taking_a_way_puts_its_woods_into_the_list_and_keeps_nothing(owner_client, face):
    first = page_of(owner_client, face)
    other = next(way for way in first.ways if not way.chosen)
    page = page_of(owner_client, face, first.worn, take=other.place, look="")
    assert [way.name for way in page.ways if way.chosen] == [other.name]
    assert [row.wood.value() for row in page.rows] != [row.wood.value() for row in first.rows]
    assert PatternVersion.objects.count() == 0


def test_what_was_taken_can_be_changed_colour_by_colour_and_kept(owner_client, face):
    first = page_of(owner_client, face)
    taken = page_of(owner_client, face, first.worn, take=first.ways[-1].place, look="")
    woods = ["sapele", *taken.worn[1:]]
    owner_client.post(address(face), typed_woods(face, woods))
    kept = PatternVersion.objects.get()
    assert kept.choices["woods"] == dict(zip(colours_of(face), woods, strict=True))
    assert page_of(owner_client, face).worn == tuple(woods)


def test_a_wood_left_out_is_in_none_of_the_ways_and_the_list_says_who_still_wears_it(owner_client, face):
    worn = page_of(owner_client, face).worn
    page = page_of(owner_client, face, worn, **{"bar_walnut-black": "on"})
    assert page.ways and all("Black walnut" not in [name for name, _, _ in way.counts] for way in page.ways)
    assert all("Black walnut" not in row.names for row in page.fewest)
    assert page.preview.notes[0].endswith("is still in Black walnut, which is left out this time.")


def test_a_colour_that_stays_keeps_its_wood_in_every_way(owner_client, face):
    worn = list(page_of(owner_client, face).worn)
    at = colours_of(face).index(colour("f"))
    worn[at] = "padauk"
    page = page_of(owner_client, face, worn, **{f"stays_{colour('f')}": "on"})
    assert page.ways
    said = {f"stays_{colour('f')}": "on", "look": ""}
    taken = [page_of(owner_client, face, worn, take=way.place, **said) for way in page.ways]
    assert {one.worn[at] for one in taken} == {"padauk"}


def test_a_colour_left_to_the_background_stays_background_whatever_is_taken(owner_client, face):
    worn = list(page_of(owner_client, face).worn)
    at = colours_of(face).index(colour("l"))
    worn[at] = ""
    page = page_of(owner_client, face, worn)
    assert page.ways and {sum(n for _, _, n in way.counts) for way in page.ways} == {tiles("hfsce")}


def test_a_colour_that_stays_in_a_wood_left_out_is_said_and_not_passed_over(owner_client, face):
    worn = list(page_of(owner_client, face).worn)
    worn[0] = "padauk"
    name = colours_of(face)[0]
    page = page_of(owner_client, face, worn, **{f"stays_{name}": "on", "bar_padauk": "on"})
    assert page.ways == [] and "Colour 1 is to stay in a wood that is left out" in page.ways_trouble
    # What is chosen can be kept all the same.
    owner_client.post(address(face), typed_woods(face, worn, **{f"stays_{name}": "on", "bar_padauk": "on"}))
    assert PatternVersion.objects.get().choices["pinned"] == [name]
    assert PatternVersion.objects.get().choices["barred"] == ["padauk"]


def test_with_every_wood_left_out_it_says_so(owner_client, face):
    page = page_of(owner_client, face, ["sycamore"] * 6, **{f"bar_{wood}": "on" for wood in offers()})
    assert page.ways == [] and page.ways_trouble == "Every wood on hand is left out this time. Allow one of them again."


# --- near colours made one ---


def test_near_colours_become_one_row_and_the_tiles_follow_it(owner_client, face):
    page = page_of(owner_client, face, within="6")
    assert len(page.rows) == len(INKS) - 1
    (group,) = page.groups
    assert {group.leader.name, group.others[0].name} == {colour("f"), colour("l")}
    worn = list(page.worn)
    worn[colours_of(face).index(colour("f"))] = "padauk"
    owner_client.post(address(face), typed_woods(face, worn, within="6"))
    kept = PatternVersion.objects.get()
    assert pattern_from_text(kept.pattern).counts()["padauk"] >= tiles("fl")
    assert kept.choices["merged"] == {colour("l"): colour("f")} and kept.choices["within"] == 6


def test_a_group_refused_stays_apart_and_is_still_shown_to_be_allowed_again(owner_client, face):
    page = page_of(owner_client, face, within="6", **{f"apart_{colour('f')}": "on"})
    assert len(page.rows) == len(INKS) and len(page.groups) == 1
    # With no group to show at another nearness, that it was refused goes along unseen.
    page = page_of(owner_client, face, within="0", **{f"apart_{colour('f')}": "on"})
    assert page.groups == [] and dict(page.carried) == {f"apart_{colour('f')}": "on"}


def test_the_wood_of_a_colour_that_went_with_another_is_not_forgotten(owner_client, face):
    worn = list(page_of(owner_client, face).worn)
    worn[colours_of(face).index(colour("l"))] = "sapele"
    page = page_of(owner_client, face, worn, within="6", **{f"stays_{colour('l')}": "on"})
    assert dict(page.carried) == {f"wood_{colour('l')}": "sapele", f"stays_{colour('l')}": "on"}
    assert page_of(owner_client, face, [*page.say.woods], within="0").worn == tuple(worn)


# --- how few would do ---


def test_each_wood_more_is_told_with_what_comes_in_and_one_press_takes_it(owner_client, face):
    page = page_of(owner_client, face)
    assert [row.count for row in page.fewest] == list(range(2, 2 + len(page.fewest)))
    assert page.least is not None and page.least.legible
    fewer = page_of(owner_client, face, page.worn, take=f"few-{page.fewest[0].count}", look="")
    assert len(set(fewer.worn)) == 2
    assert fewer.fewest[0].chosen


@pytest.mark.parametrize(
    ("left_out", "words"),
    [
        (("birch-yellow", "padauk", "beech", "sapele"), "These are all the woods on hand that are not left out"),
        ((), "One more"),
    ],
)
def test_what_one_more_wood_would_buy_is_always_said_though_it_be_nothing(owner_client, face, left_out, words):
    worn = [wood if wood not in left_out else "walnut-black" for wood in page_of(owner_client, face).worn]
    answer = owner_client.post(address(face), typed_woods(face, worn, look="1", **{f"bar_{w}": "on" for w in left_out}))
    said = re.sub(r"(<[^>]+>|\s)+", " ", answer.content.decode())
    assert words in said.split("keep the picture to be read: ")[1]


def test_where_every_wood_on_hand_does_or_every_colour_has_its_own_no_more_is_promised(owner_client, owner):
    """Two colours far apart: the picture is read in two woods, and no third has a colour left to wear."""
    add_woods("sycamore", "walnut-black", "padauk", "beech")
    design = bring_picture(who=owner, name="Two", upload=upload(picture("fhfh\nhffh\nfhhf\nhfhf", inks=INKS)))
    run_waiting_tasks()
    design.refresh_from_db()
    page = page_of(owner_client, design)
    assert (page.least.count, page.one_more, page.more_named) == (2, None, "")
    assert page.no_more == "Every colour has a wood of its own, so one more would buy nothing."
    page = page_of(owner_client, design, page.worn, bar_padauk="on", bar_beech="on")
    assert page.no_more == "These are all the woods on hand that are not left out, so there is no more to be had."


def test_a_way_that_is_no_longer_among_those_matched_is_refused_in_words(owner_client, face):
    worn = page_of(owner_client, face).worn
    for place in ("few-9", "line-7", "nonsense", ""):
        answer = owner_client.post(address(face), typed_woods(face, worn, take=place))
        assert answer.status_code == 422
        assert "not among those matched now" in answer.content.decode()


# --- what the wood costs ---


def test_the_cost_of_a_ways_wood_is_what_the_reckoning_would_say_of_it(owner_client, face):
    page = page_of(owner_client, face)
    owner_client.post(address(face), typed_woods(face, page.worn, margin=str(page.say.margin), behind=page.say.behind))
    pattern = pattern_from_text(PatternVersion.objects.get().pattern)
    spec = BoardSpec(use="wall", method="runs", quantity=1, border_wood=page.say.behind, **first_sizes("mm"))
    wanted = reckon_wood(pattern, spec, workshop_planning.shop_of(the_workshop()), offers())
    assert page.preview.cost.amount == wanted.value
    # And the reckoning of the drawing begins with the wood it was chosen before.
    start = owner_client.get(reverse("plans:reckoning", args=[face.pk])).context["form"]
    assert start["border_wood"].value() == page.say.behind


def test_a_wood_without_a_price_is_named_and_a_helper_sees_no_prices(owner_client, client, face):
    WoodOnHand.objects.filter(wood="padauk").update(price=0)
    body = owner_client.get(address(face)).content.decode()
    assert "counted as nought: Padauk" in body and "Its wood" in body
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    body = client.get(address(face)).content.decode()
    assert "Its wood" not in body and not re.search(r"[€$]", body)


def test_where_two_woods_meet_that_are_hard_to_tell_apart_it_is_said(owner_client, face):
    worn = list(page_of(owner_client, face).worn)
    at = colours_of(face).index
    worn[at(colour("f"))], worn[at(colour("s"))] = "sycamore", "birch-yellow"
    said = " ".join(page_of(owner_client, face, worn).preview.melts)
    assert re.search(r"(birch|sycamore) and (Yellow birch|American sycamore) touch along \d+ sides", said)
