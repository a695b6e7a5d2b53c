"""A care card, a label and a tag say what is known of a piece, name what somebody may have to mind, and clear it for
nothing; they are frozen as they were asked for, and each is made once."""

from __future__ import annotations

import io
import json
import re
import shutil
import subprocess

import numpy as np
import pikepdf
import pytest
import zxingcpp
from django.core.exceptions import PermissionDenied
from PIL import Image

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.tasks import run_waiting_tasks
from shopapp.listings.cards import wording
from shopapp.listings.cards.actions import Asked, ask_for_paper, write_words
from shopapp.listings.cards.papers import CARDS, LABELS, TAGS
from shopapp.listings.cards.sheet import paper_pdf
from shopapp.listings.models import CardWords, PiecePaper, ShopPage
from shopapp.lumber.labels.papers import Paper
from shopapp.people.models import Member
from shopapp.workshop.models import Workshop
from tests.support import work
from tests.support.cards import piece

pytestmark = pytest.mark.django_db
SHOP = "https://shop.example"
POINT = 25.4 / 72
WORDS = {"maker": "", "address": "", "warnings": "", "words": "", "link": ""}
# The largest texts the owner may write, in words a line can be broken between.
FULL = {
    "maker": "Workshop of " + "many hands " * 6,
    "address": "Creek Lane 4\n1234 Reedbank\n" + "by the tidal creek " * 14,
    "warnings": ("Keep it away from open fire. " * 21)[:600],
    "words": ("Made beside a tidal creek. " * 23)[:600],
}


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def otter(owner):
    return piece(owner)


def says(owner, *pieces, kind="care", sheet="a6", **more) -> dict:
    return json.loads(ask_for_paper(who=owner, pieces=pieces, asked=Asked(kind, sheet, SHOP, **more)).says)


def words_of(said: object) -> str:
    """Everything a paper says, in one line."""
    return " ".join(re.findall(r'"((?:[^"\\]|\\.)*)"', json.dumps(said, ensure_ascii=False)))


def text_of(pdf: bytes) -> str:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    told = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True).stdout
    return " ".join(told.decode().split())


# --- what is said -----------------------------------------------------------------------------------------------


def test_a_care_card_says_woods_finish_sheet_washing_oiling_and_who_may_have_to_mind_it(owner, otter):
    text = text_of(paper_pdf(says(owner, otter, sheet="a5")))
    for words in (
        "Otter at dusk", "American sycamore Platanus occidentalis", "Black walnut Juglans nigra",
        "400 × 280 × 22 mm", "about 1.9 kg", "Creekside board oil, sheet 4 of March 2026",
        "Made to serve dry food on", "It is not a knife board", "Never soak it",
        "heat themselves and catch fire", "under water in a closed metal tin", "NFPA, Safety with Oily Rags",
        "Black walnut: its dust can sensitise skin and eyes.", "American Woodturner, June 1990",
        "Contains black walnut wood.", "Check papers before sending it abroad. African Pterocarpus",
        "African padauk: irritant or sensitising substances; usually advised against where food lies.",
    ):  # fmt: skip
        # Lines of two columns lie beside each other in the text.
        assert all(word in text for word in words.split()), words
    assert "Check papers before sending it abroad." in words_of(says(owner, otter))


@pytest.mark.parametrize("use", ["wall", "serving", "trivet", "knife", ""])
def test_no_paper_of_any_use_clears_a_board_or_calls_it_one_for_knives(owner, use):
    """A mosaic of face grain is never a knife board, whatever somebody called it."""
    one = piece(owner, use=use)
    for kind, sheet in (("care", "a6"), ("label", "one-100"), ("tags", "a4-24-70")):
        told = words_of(says(owner, one, kind=kind, sheet=sheet)).lower()
        assert not re.search(r"\bsafe\b|\bsafely\b|approv|certif|allergen.free|food.grade", told)
        if kind != "tags":
            assert "not a knife board" in told


def test_nothing_is_said_of_a_finish_nobody_wrote_down_but_to_ask(owner):
    card = words_of(says(owner, piece(owner, finish="", finish_sheet="", woods=[], size=None, grams=None)))
    assert wording.ANEW_UNKNOWN in card and "Finished with" not in card
    assert wording.NO_SHEET in words_of(says(owner, piece(owner, finish_sheet="")))


@pytest.mark.parametrize(
    ("finish", "is_nut"),
    [("Walnut oil", True), ("Hazelnut oil and wax", True), ("Coconut oil", False), ("Tung oil", False)],
)
def test_a_finish_that_names_a_nut_is_told_of_on_card_and_label(owner, finish, is_nut):
    """FDA's list of tree nuts has walnut and filbert, and no longer coconut (questions and answers on food allergens,
    edition 5)."""
    one = piece(owner, finish=finish)
    for kind, sheet in (("care", "a6"), ("label", "one-100")):
        assert (f"The finish, {finish}, names a nut" in words_of(says(owner, one, kind=kind, sheet=sheet))) == is_nut


def test_papers_are_asked_for_abroad_only_where_a_wood_is_listed(owner, otter):
    plain = piece(owner, woods=[one for one in otter.facts["woods"] if not one["listed"]])
    assert wording.ABROAD in words_of(says(owner, otter, kind="label", sheet="one-100"))
    assert wording.ABROAD not in words_of(says(owner, plain, kind="label", sheet="one-100"))
    assert wording.ABROAD not in words_of(says(owner, plain))


def test_a_shop_that_writes_inches_has_inches_and_pounds(owner, otter):
    """400 mm is 15 3/4 in within a sixteenth, 280 mm 11 in; 1.9 kg is 4.2 lb (0.45359237 kg a pound)."""
    Workshop.objects.update_or_create(pk=1, defaults={"unit": "in", "words": "planer"})
    told = says(owner, otter, sheet="quarter")["pieces"][0]
    assert told["lines"][:2] == [["Size", "15 3/4 × 11 × 7/8 in"], ["Weight", "about 1.9 kg (4.2 lb)"]]


def test_who_made_it_is_the_workshop_unless_the_owner_writes_another(owner, otter):
    Workshop.objects.update_or_create(pk=1, defaults={"name": "Reedbank Workshop", "address": "Creek Lane 4"})
    told = says(owner, otter)
    assert (told["maker"], told["address"], told["warnings"]) == ("Reedbank Workshop", "Creek Lane 4", "")
    write_words(who=owner, facts={**WORDS, "maker": "M. Reed", "warnings": "Not for children."}, seen_version=1)
    told = says(owner, otter)
    assert (told["maker"], told["address"], told["warnings"]) == ("M. Reed", "Creek Lane 4", "Not for children.")
    printed = text_of(paper_pdf(told))
    assert "M. Reed" in printed and "Not for children." in printed


@pytest.mark.parametrize("claim", ["Food safe!", "a food-safe finish", "FDA approved", "certified"])
def test_words_that_claim_what_nobody_looked_into_are_refused(owner, claim):
    with pytest.raises(PlannerError, match="more than anybody here has looked into"):
        write_words(who=owner, facts={**WORDS, "words": claim}, seen_version=1)
    assert not CardWords.objects.exists()
    write_words(who=owner, facts={**WORDS, "warnings": "Not approved for use in kitchens."}, seen_version=1)


# --- the paper --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("sheet", ["quarter", "half"])
def test_a_card_has_two_faces_of_its_size_and_is_tagged(owner, otter, sheet):
    """However much the owner has to say."""
    write_words(who=owner, facts={**WORDS, **FULL}, seen_version=1)
    with pikepdf.open(io.BytesIO(paper_pdf(says(owner, otter, sheet=sheet)))) as pdf:
        card = CARDS[sheet]
        wide = float(card.wide.mm) * (2 if card.folded else 1)
        assert len(pdf.pages) == 2
        for page in pdf.pages:
            assert [float(side) * POINT for side in page.MediaBox[2:]] == pytest.approx(
                [wide, float(card.high.mm)], abs=0.1
            )
        assert pdf.Root.MarkInfo.Marked and str(pdf.Root.Lang) == "en" and "Otter at dusk" in str(pdf.docinfo.Title)


PAPERS = [("label", sheet) for sheet in LABELS] + [("tags", sheet) for sheet in TAGS]


@pytest.mark.parametrize(("kind", "sheet"), PAPERS)
def test_every_word_of_a_label_lies_on_it(owner, otter, kind, sheet):
    """Each word's box in the finished PDF, in the box of some label: measured by pdftotext."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    write_words(
        who=owner, facts={**WORDS, "maker": FULL["maker"][:60], "warnings": FULL["warnings"][:120]}, seen_version=1
    )
    told = says(owner, otter, piece(owner, title="A heron that stands in the reeds"), kind=kind, sheet=sheet)
    paper, alone = Paper.from_json(told["sheet"]["paper"]), told["sheet"]["alone"]
    boxes = [
        (x, y, x + paper.width.mm, y + paper.height.mm) for y in paper.rows() and [r.mm for r in paper.rows()]
        for x in [c.mm for c in paper.columns()]
    ]  # fmt: skip
    pdf = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=paper_pdf(told), capture_output=True, check=True)
    found = re.findall(
        r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)<', pdf.stdout.decode()
    )
    # The sheet's own name, a point high, is for whoever has it read aloud.
    words = [word for word in found if float(word[3]) - float(word[1]) > 3]
    assert len(words) > 10
    for left, top, right, bottom, word in words:
        at = [float(side) * POINT for side in (left, top, right, bottom)]
        assert any(
            at[0] >= box[0] and at[1] >= box[1] - 0.3 and at[2] <= box[2] and at[3] <= box[3] + 0.3 for box in boxes
        ), (word, alone)


def test_what_does_not_fit_a_label_is_refused_before_anything_is_made(owner, otter):
    write_words(who=owner, facts={**WORDS, **FULL}, seen_version=1)
    with pytest.raises(PlannerError, match="does not fit there") as refused:
        says(owner, otter, kind="label", sheet="letter-10")
    assert refused.value.field == "sheet" and not PiecePaper.objects.exists()


def codes_on(pdf: bytes) -> list[str]:
    """Drawn at 200 dots an inch, as an office printer would, and read by zxing-cpp, which shares nothing with what
    wrote them."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm (poppler-utils) is missing")
    drawn = subprocess.run(
        ["pdftoppm", "-r", "200", "-gray", "-f", "1", "-l", "1", "-"], input=pdf, capture_output=True, check=True
    )
    return sorted(one.text for one in zxingcpp.read_barcodes(np.array(Image.open(io.BytesIO(drawn.stdout)))))


@pytest.mark.parametrize(
    ("kind", "sheet"),
    [
        ("care", "a6"),
        ("care", "half"),
        ("label", "a4-8-99"),
        ("label", "one-4"),
        ("tags", "letter-30"),
        ("tags", "one-70"),
    ],
)
def test_another_s_reader_reads_every_code(owner, otter, kind, sheet):
    assert codes_on(paper_pdf(says(owner, otter, kind=kind, sheet=sheet))) == [f"{SHOP}{otter.get_absolute_url()}"]


def test_a_code_leads_where_the_owner_says_and_may_be_left_out(owner, otter):
    write_words(who=owner, facts={**WORDS, "link": "https://reedbank.example/care"}, seen_version=1)
    assert codes_on(paper_pdf(says(owner, otter))) == ["https://reedbank.example/care"]
    assert codes_on(paper_pdf(says(owner, otter, coded=False))) == []


def test_a_code_leads_to_the_public_page_where_visitors_may_see_it(owner):
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way", "finished")
    listed = work.listing(owner, job, title="Flag")
    number = listed.piece.number
    own = f"{SHOP}{listed.piece.get_absolute_url()}"
    assert [one["code"] for one in says(owner, listed.piece)["pieces"]] == [own]
    type(listed).objects.update(public=True)
    assert [one["code"] for one in says(owner, listed.piece)["pieces"]] == [own]
    ShopPage.objects.create(pk=1, on=True)
    assert [one["code"] for one in says(owner, listed.piece)["pieces"]] == [f"{SHOP}/shop/{number}/"]


def test_a_tag_has_the_asked_price_or_a_line_to_write_one_on(owner, otter):
    job = work.move(owner, work.job(owner, work.kept(owner)), "under way", "finished")
    listed = work.listing(owner, job, title="Flag")
    told = says(owner, listed.piece, otter, kind="tags", sheet="a4-24-70")
    assert [one["price"] for one in told["pieces"]] == ["€\u00a0240.00", ""]
    assert "€ 240.00" in text_of(paper_pdf(told)).replace("\u00a0", " ")


# --- frozen, and made once --------------------------------------------------------------------------------------


def test_the_same_paper_is_made_once_and_another_where_something_changed(owner, otter):
    asked = Asked("care", "a6", SHOP)
    first = ask_for_paper(who=owner, pieces=[otter], asked=asked)
    assert ask_for_paper(who=owner, pieces=[otter], asked=asked).pk == first.pk
    run_waiting_tasks()
    made = PiecePaper.objects.get()
    assert made.document is not None and list(made.pieces.all()) == [otter]
    write_words(who=owner, facts={**WORDS, "words": "Thank you."}, seen_version=1)
    second = ask_for_paper(who=owner, pieces=[otter], asked=asked)
    assert second.pk != first.pk and "Thank you." not in PiecePaper.objects.get(pk=first.pk).says
    run_waiting_tasks()
    assert ask_for_paper(who=owner, pieces=[otter], asked=asked).document is not None
    assert PiecePaper.objects.get(pk=first.pk).document == made.document


def test_cards_are_the_owner_s(owner, otter):
    helper = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    with pytest.raises(PermissionDenied):
        ask_for_paper(who=helper, pieces=[otter], asked=Asked("tags", "a4-24-70", SHOP))
    with pytest.raises(PermissionDenied):
        write_words(who=helper, facts=WORDS, seen_version=1)


def test_lengths_of_a_folded_card_are_two_of_a_flat_one():
    """A5 folded once is A6 (ISO 216), within the millimetre that standard rounds down by."""
    assert (CARDS["a5"].wide, CARDS["a5"].high) == (Length.of_mm(105), Length.of_mm(148))
    assert abs(CARDS["a5"].wide.mm * 2 - 210) == 0
