"""Which files begin first where several run at once: a long one that begins last would be waited for alone."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# By the seconds each took in November 2026, longest first; the rest takes seconds each and fills the end.
LONGEST = [
    "tests/browser/test_accessibility.py",
    "tests/rules/test_no_input_breaks_a_page.py",
    # Prints the books that the other files of its folder read, which then need not wait for each other.
    "tests/plans/book/test_every_count_on_it.py",
    "tests/bootstrap/test_running.py",
    "tests/rules/test_every_address.py",
    "tests/planner/picture/test_blurred_and_turned.py",
    "tests/browser/test_whole_route.py",
    "tests/browser/test_accessibility_in_trouble.py",
    "tests/browser/test_bench_drawing.py",
    "tests/planner/picture/test_reading_rates.py",
    "tests/rules/test_old_databases.py",
    "tests/home/test_demo.py",
    "tests/browser/test_bench_for_everybody.py",
    "tests/browser/test_choosing_woods.py",
    "tests/designs/test_reducing_a_picture.py",
    "tests/browser/test_bench_keeping.py",
    "tests/rules/test_tools.py",
    "tests/browser/test_tonight_on_a_tablet.py",
    "tests/browser/test_selling_at_a_fair.py",
    "tests/listings/cards/test_what_cards_say.py",
    "tests/browser/test_bench_journal.py",
    "tests/browser/test_bench_keys.py",
    "tests/browser/test_a_grid_by_finger_and_keys.py",
    "tests/browser/test_bench_tabs.py",
    "tests/browser/test_wood_colour.py",
    "tests/browser/test_two_jobs_from_one_rack.py",
    "tests/browser/test_a_quote_becomes_a_sold_piece.py",
    "tests/browser/test_a_piece_from_photo_to_remake.py",
    "tests/listings/pieces/test_boards_get_their_numbers.py",
    "tests/browser/test_an_offer_on_a_phone.py",
    "tests/browser/test_a_visitor_on_a_phone.py",
    "tests/browser/test_an_enquiry_becomes_a_quote.py",
    "tests/browser/test_a_cut_plan_is_looked_for.py",
    "tests/plans/cutting/sheets/test_the_paper.py",
    "tests/planner/cutting/plan/test_plans_with_every_wish.py",
    "tests/rules/test_query_counts.py",
    "tests/planner/pricing/test_smallest_price.py",
]


def longest_first(items: list) -> None:
    """Put the tests of those files at the front; within a file they stay as they were."""
    place = {str(ROOT / name): n for n, name in enumerate(LONGEST)}
    items.sort(key=lambda item: place.get(str(item.path), len(place)))
