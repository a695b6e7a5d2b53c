"""The marking-out sheets are a tagged paper from which the whole plan can be read back: boards, strips, parts, set-ups.

The text is taken out of the PDF by pdftotext, the structure by pikepdf; neither is ours.
"""

from __future__ import annotations

import io
import json
import re
import secrets
import shutil
import subprocess
from collections import Counter
from fractions import Fraction

import pikepdf
import pytest
from django.urls import reverse

from planner.measures import Length, format_length
from shopapp.common.models import AuditLine
from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.models import StockPiece
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.plans.cutting.sheets.paper import marking_sheets_pdf
from shopapp.plans.models import CutPaper, CutSheet
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support.cutting import cutting, plan_and_rack
from tests.support.shop import board as asked_for

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    plan = plan_and_rack(owner)
    StockPiece.objects.filter(wood="walnut-black").update(place="back wall, bay 2")
    return plan


@pytest.fixture(scope="module")
def sheet(owner, plan) -> CutSheet:
    search = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    return keep_plan_of(who=owner, cutting=cutting(plan), search=search)


def address(name: str, sheet: CutSheet) -> str:
    return reverse(f"plans:{name}", args=[sheet.plan_id, sheet.pk])


def ask(client, sheet):
    return client.post(address("cut_paper", sheet), {"form_key": secrets.token_urlsafe(24)})


def test_the_worker_makes_it_and_it_is_opened_from_the_sheet(owner_client, sheet):
    assert ask(owner_client, sheet).url == address("cut_sheet", sheet)
    assert "being made" in owner_client.get(address("cut_paper_state", sheet)).content.decode()
    run_waiting_tasks()
    page = owner_client.get(address("cut_paper_state", sheet)).content.decode()
    assert address("cut_paper_pdf", sheet) in page
    paper = owner_client.get(address("cut_paper_pdf", sheet))
    assert paper.headers["Content-Type"] == "application/pdf"
    assert b"".join(paper.streaming_content).startswith(b"%PDF")
    stored = CutPaper.objects.get(sheet=sheet).document
    assert len(stored.sha256) == 64 and "Marking-out sheets" in stored.title
    assert AuditLine.objects.filter(what__startswith="The marking-out sheets for").exists()


def test_asked_for_twice_it_is_made_once(owner_client, sheet):
    key = secrets.token_urlsafe(24)
    for _ in range(2):
        owner_client.post(address("cut_paper", sheet), {"form_key": key})
    run_waiting_tasks()
    first = CutPaper.objects.get().document_id
    ask(owner_client, sheet)
    run_waiting_tasks()
    assert CutPaper.objects.get().document_id == first
    assert AuditLine.objects.filter(what__startswith="The marking-out sheets for").count() == 1


def test_what_does_not_stand_is_told_in_words_and_another_plan_has_no_part_in_it(owner, owner_client, sheet):
    answer = owner_client.get(address("cut_paper_pdf", sheet))
    assert answer.status_code == 404 and "no marking-out sheets yet" in answer.content.decode()
    first = sheet.plan
    other = keep_plan(who=owner, version=first.version, board=asked_for(), workshop=the_workshop())
    assert owner_client.get(reverse("plans:cut_paper_state", args=[other.pk, sheet.pk])).status_code == 404


def test_without_the_pdf_libraries_the_page_says_what_to_install(owner_client, sheet, monkeypatch):
    import shopapp.common.paper as paper

    def missing():
        raise paper.PaperTrouble("This machine lacks the libraries that make PDFs. Install them as the README says.")

    monkeypatch.setattr(paper, "_engine", missing)
    ask(owner_client, sheet)
    run_waiting_tasks()
    page = owner_client.get(address("cut_paper_state", sheet)).content.decode()
    assert "lacks the libraries" in page and "Make the marking-out sheets" in page


# --- what the PDF is ---------------------------------------------------------------------------------------


def elements(node):
    for child in node.get("/K", []) if isinstance(node.get("/K"), pikepdf.Array) else [node.get("/K")]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield child
            yield from elements(child)


def test_it_is_tagged_titled_in_english_with_its_fonts_embedded_and_every_drawing_in_words(sheet):
    with pikepdf.open(io.BytesIO(marking_sheets_pdf(sheet))) as paper:
        root = paper.Root
        assert root.MarkInfo.Marked and str(root.Lang) == "en"
        assert sheet.label in str(paper.docinfo.Title)
        found = list(elements(root.StructTreeRoot))
        assert {"/H1", "/H2", "/H3", "/H4", "/Table", "/TH", "/TD", "/P", "/Figure"} <= {
            str(e.get("/S")) for e in found
        }
        figures = [str(e.get("/Alt", "")) for e in found if str(e.get("/S")) == "/Figure"]
        assert figures and all(figures)
        assert sum("where it is cut" in words for words in figures) == len(json.loads(sheet.form)["plan"]["boards"])
        for page in paper.pages:
            for font in page.Resources.get("/Font", {}).values():
                described = font.DescendantFonts[0].FontDescriptor
                assert "/FontFile2" in described or "/FontFile3" in described


@pytest.mark.parametrize(("unit", "paper_mm"), [("mm", (210, 297)), ("in", (215.9, 279.4))])
def test_it_is_a4_or_letter_where_the_shop_writes_inches(sheet, unit, paper_mm):
    """A4: ISO 216. Letter: 8.5 by 11 in, ANSI/ASME Y14.1. A PDF's point is 1/72 in."""
    Workshop.objects.update_or_create(pk=1, defaults={"unit": unit})
    with pikepdf.open(io.BytesIO(marking_sheets_pdf(sheet))) as paper:
        for page in paper.pages:
            assert [float(side) * 25.4 / 72 for side in page.MediaBox[2:]] == pytest.approx(paper_mm, abs=0.1)


# --- what it says ------------------------------------------------------------------------------------------


def pages_of(pdf: bytes) -> list[str]:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    text = subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True
    ).stdout.decode()
    return text.replace("\u00a0", " ").split("\f")


# Rendering takes seconds, and every test's sheet holds the same plan: one paper serves them all.
_RENDERED: dict[str, list[str]] = {}


@pytest.fixture
def pages(sheet) -> list[str]:
    if sheet.form not in _RENDERED:
        _RENDERED[sheet.form] = pages_of(marking_sheets_pdf(sheet))
    return _RENDERED[sheet.form]


@pytest.fixture
def lines(pages) -> list[str]:
    """Line by line, runs of spaces kept as two, so that columns can be told from words."""
    return [re.sub(r" {2,}", "  ", line.strip()) for page in pages for line in page.splitlines() if line.strip()]


class Told:
    """The plan as its own JSON says, with names given as the house gives them; lengths as the shop writes them."""

    def __init__(self, sheet: CutSheet) -> None:
        file = json.loads(sheet.form)
        self.plan, self.rules, self.parts = file["plan"], file["rules"], file["parts"]
        amount, self.writes = file["unit"].split()[0], file["unit"].split()[1]
        self.unit = Length.of_mm(Fraction(amount)) if self.writes == "mm" else Length.of_inches(Fraction(amount))
        self.stock = {board["name"]: board for board in file["stock"]}
        self.names = {wood["wood"]: wood["name"] for wood in sheet.plan.record["woods"]}

    def long(self, units: int) -> str:
        return format_length(self.unit * units, "mm", with_unit=False)

    def strips(self):
        """(name, strip) of every strip."""
        for board in self.plan["boards"]:
            for n, rough in enumerate(board["rough"], 1):
                for m, strip in enumerate([*rough["strips"], *rough["under"]], 1):
                    yield f"{board['board']}-{n}.{m}", strip


def test_page_one_says_what_is_taken_where_it_lies_and_what_has_to_come_out(sheet, pages, lines):
    told = Told(sheet)
    rough = [one for board in told.plan["boards"] for one in board["rough"]]
    strips = list(told.strips())
    parts = sum(part["count"] * max(len(part["pieces"]), 1) for part in told.parts)
    steps = json.loads(sheet.set_ups)["steps"]
    flat = " ".join(pages[0].split())
    assert (
        f"{len(told.plan['boards'])} boards, {len(rough)} rough lengths, {len(strips)} strips, {parts} parts, "
        f"{len(steps)} set-ups of about" in flat
    )
    for board in told.plan["boards"]:
        stock, piece = told.stock[board["board"]], StockPiece.objects.get(mark=board["board"])
        thick = format_length(piece.thickness, "mm", with_unit=False)
        size = f"{thick} × {told.long(stock['width'])} × {told.long(stock['length'])}"
        row = next(line for line in lines if line.startswith(f"{board['board']} "))
        assert told.names[stock["wood"]] in row and size in row
        assert (piece.place or "place not noted") in row
    assert "back wall, bay 2" in flat
    wanted = Counter(
        (told.names[p["wood"]], p["name"], p["count"] * max(len(p["pieces"]), 1)) for p in told.parts if p["count"]
    )
    joined = "\n".join(lines)
    for (wood, name, count), _ in wanted.items():
        assert re.search(rf"^{re.escape(wood)}  {re.escape(name)}  {count}  ", joined, re.M), (wood, name, count)
    assert re.search(rf"^All  {parts}$", joined, re.M)


def test_every_rough_length_stands_with_its_marks_of_the_tape(sheet, lines):
    told = Told(sheet)
    joined = "\n".join(lines)
    for board in told.plan["boards"]:
        for n, rough in enumerate(board["rough"], 1):
            end = rough["at"] + rough["length"]
            row = [f"{board['board']}-{n}", told.long(rough["at"]), told.long(end), told.long(rough["length"])]
            becomes = "strips, below" if rough["strips"] else "back to the rack|left over"
            assert re.search("^" + r" +".join(map(re.escape, row)) + rf" +(?:{becomes})$", joined, re.M), row


def test_every_strip_and_part_is_rebuilt_from_the_text(sheet, lines):
    told = Told(sheet)
    given: Counter[tuple[str, str]] = Counter()
    seen = {}
    row = re.compile(r"^(\S+-\d+\.)(\d+)(?: – \d+\.(\d+))? +([\d.]+) +(.*?) +(?:(\d+) × )?(\d+) +([\d.]+(?:, kept)?)$")
    for line in lines:
        if not (match := row.match(line)):
            continue
        rough, first, last, width, gives, times, count, _left = match.groups()
        names = [f"{rough}{n}" for n in range(int(first), int(last or first) + 1)]
        assert int(times or 1) == len(names)
        sizes = Counter()
        for some in gives.split(", "):
            entry = re.fullmatch(r"(?:(\d+) × )?(?:\(([^)]*)\)|([\d.]+)) [a-z].*", some)
            for size in (entry[2] or entry[3]).split(" + "):
                sizes[size] += int(entry[1] or 1)
        assert sum(sizes.values()) == int(count), line
        for name in names:
            seen[name] = width, sizes
            given.update({(name.split("-")[0], size): n for size, n in sizes.items()})
    rules = told.rules
    for name, strip in told.strips():
        width, sizes = seen.pop(name)
        assert width == told.long(strip["width"] + rules["over_width"])
        wanted = Counter()
        left = dict(map(tuple, strip["parts"]))
        for pieces, times in strip["pieces"]:
            whole = sum(pieces) + (len(pieces) - 1) * (rules["over_length"] + rules["crosscut_kerf"])
            left[whole] -= times
            for piece in pieces:
                wanted[told.long(piece + rules["over_length"])] += times
        for size, count in left.items():
            wanted[told.long(size + rules["over_length"])] += count
        assert sizes == +wanted, name
    assert not seen
    assert sum(given.values()) == sum(p["count"] * max(len(p["pieces"]), 1) for p in told.parts)


def test_every_set_up_stands_in_order_with_what_is_set_and_how_many_are_cut(sheet, pages):
    flat = " ".join(" ".join(pages).split()).split("Set-ups, in the order of the work")[1]
    at = 0
    for step in json.loads(sheet.set_ups)["steps"]:
        if step["kind"] == "rough":
            held = format_length(Length.of_mm(step["held"]), "mm", with_unit=False)
            gives = re.escape(", ".join(name for cut in step["cuts"] for name in cut["gives"]))
            row = rf" {step['number']} +{re.escape(step['cuts'][0]['piece'])} +{gives} +{step['passes']} +{held} "
            found = re.search(row, flat[at:])
        else:
            words = {"fence": "Fence", "stop": "Stop", "thickness": "Thickness", "mark": "Pencil mark"}
            sets = [f"{words[s['what']]} {format_length(Length.of_mm(s['set_to']), 'mm')}" for s in step["settings"]]
            count = sum(cut["count"] for cut in step["cuts"])
            head = re.escape(", ".join(sets)).replace(r"\ ", "[ \u00a0]") if sets else ""
            found = re.search(rf" {step['number']} +{head}.*?; {count} pieces?[,;].*?{step['passes']} pass", flat[at:])
        assert found, step["number"]
        at += found.start()


def test_offcuts_expected_have_room_for_what_they_measure(sheet, lines):
    told = Told(sheet)
    assert told.plan["offcuts"]
    joined = "\n".join(lines)
    for one in told.plan["offcuts"]:
        name = f"{one['board']}-{one['rough'] + 1}"
        size = f"{told.long(one['width'])} × {told.long(one['length'])}"
        assert re.search(rf"^{re.escape(name)} +[a-z ]+ +{re.escape(size)} +_+ × _+ × _+$", joined, re.M), (name, size)


def test_a_board_begins_where_its_drawing_and_its_tape_are(sheet, pages):
    for board in json.loads(sheet.form)["plan"]["boards"]:
        (page,) = [page for page in pages if f"Marks of the tape on {board['board']}" in page]
        name = re.escape(board["board"])
        assert re.search(rf"{name}\s+[A-Z]", page) and re.search(rf"{name}-1 · [\d.]+", page)


def test_it_defers_to_the_manual_never_calls_a_thing_safe_and_is_read_letter_by_letter(sheet, pages):
    flat = " ".join(" ".join(pages).split())
    assert "manual comes before this sheet" in flat and "spacer" in flat
    assert not re.search(r"\b(is|are) safe\b|approved", flat)
    assert not re.search("[\ufb00-\ufb06]", flat)
    assert sheet.sha256[:12] in flat


def test_a_shop_in_inches_reads_fractions(sheet):
    Workshop.objects.update_or_create(pk=1, defaults={"unit": "in"})
    flat = " ".join(" ".join(pages_of(marking_sheets_pdf(sheet))).split())
    assert "All lengths in inches" in flat and "Tape in inches" in flat
    told = Told(sheet)
    width = next(iter(told.stock.values()))["width"]
    assert format_length(told.unit * width, "in", with_unit=False) in flat


def test_a_board_that_is_not_there_yet_is_told_as_one_to_be_bought(owner, plan):
    StockPiece.objects.filter(wood="padauk").update(set_aside="checked")
    bought = [{"wood": "padauk", "thickness": "27", "width": "120", "length": "1000", "price": "14.50"}]
    search = ask_for_plan(who=owner, cutting=cutting(plan), wishes={"bought": bought})
    sheet = keep_plan_of(who=owner, cutting=cutting(plan), search=search)
    joined = "\n".join(line.strip() for page in pages_of(marking_sheets_pdf(sheet)) for line in page.splitlines())
    assert re.search(r"^to buy 1 +Padauk +to be bought first +120 × 1000$", joined, re.M)
    assert re.search(r"^to buy 1-1 +[\d.]+ +[\d.]+ +[\d.]+ +strips, below$", joined, re.M)
