"""Finished pieces whose facts are known: as a job would freeze them."""

from __future__ import annotations

from django.utils import timezone

from shopapp.books.onpaper.actions import ask_for_year
from shopapp.listings.cards.actions import Asked, ask_for_paper
from shopapp.listings.models import Piece
from tests.support import pieces

FACTS = {
    "form": 1,
    "size": [400_000_000, 280_000_000, 22_225_000],
    "grams": 1900,
    "adhesive": "Creekside PVA",
    "finish": "Creekside board oil",
    "finish_sheet": "Creekside board oil, sheet 4 of March 2026",
    "use": "serving",
    "care": [],
    "cautions": [],
    "woods": [
        {"key": "sycamore", "name": "American sycamore", "scientific": "Platanus occidentalis", "share": "3/5",
         "listed": "", "allergen": ""},
        {"key": "walnut-black", "name": "black walnut", "scientific": "Juglans nigra", "share": "3/10", "listed": "",
         "allergen": "Black walnut is named among tree nuts for food labels. Nothing found proves or rules out that "
         "wood carries the allergen: say that the board contains walnut wood."},
        {"key": "padauk", "name": "African padauk", "scientific": "Pterocarpus soyauxii", "share": "1/10",
         "listed": "African Pterocarpus may need papers to cross a border (CITES); ask the seller and the authority "
         "first.", "allergen": ""},
    ],
}  # fmt: skip


def piece(owner, *, title: str = "Otter at dusk", **facts) -> Piece:
    """A numbered piece, its facts as above but for what is told."""
    made = pieces.piece(owner, label=title)
    made.facts = {**FACTS, **facts}
    made.save(update_fields=["facts"])
    return made


def papers_of(owner, piece: Piece) -> dict[str, object]:
    """A care card and a year asked for, and how the addresses of papers are filled."""
    paper = ask_for_paper(who=owner, pieces=[piece], asked=Asked("care", "a6", "https://shop.example"))
    year = ask_for_year(who=owner, year=timezone.localdate().year, sheet="a4")
    return {"paper_pk": paper.pk, "paper_kind": "care", "year_paper_pk": year.pk}
