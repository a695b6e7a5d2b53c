"""Which files begin first where several run at once: a long one that begins last would be waited for alone."""

from __future__ import annotations

from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
# By the seconds of a processor that each took at the end of November 2026, browsers counted in, longest first; the rest
# takes less each and fills the end.
LONGEST = [
    "tests/browser/test_accessibility.py",
    "tests/rules/test_no_input_breaks_a_page.py",
    # Prints the books that the other files of its folder read, which then need not wait for each other.
    "tests/plans/book/test_every_count_on_it.py",
    "tests/bootstrap/test_running.py",
    "tests/browser/test_a_cut_plan_is_looked_for.py",
    "tests/rules/test_every_address.py",
    "tests/rules/test_old_databases.py",
    "tests/browser/test_whole_route.py",
    "tests/browser/test_bench_for_everybody.py",
    "tests/rules/test_query_counts.py",
    "tests/browser/test_two_jobs_from_one_rack.py",
    "tests/home/test_demo.py",
    "tests/browser/test_tonight_on_a_tablet.py",
    "tests/books/test_books_pages.py",
    "tests/rules/test_tools.py",
    "tests/designs/test_reducing_a_picture.py",
    "tests/browser/test_accessibility_in_trouble.py",
    "tests/browser/test_bench_drawing.py",
    "tests/plans/book/test_its_paper.py",
    "tests/listings/cards/test_what_cards_say.py",
    "tests/browser/test_bench_journal.py",
    "tests/browser/test_bench_keeping.py",
    "tests/browser/test_bench_tabs.py",
    "tests/plans/book/test_a_misprint_is_noticed.py",
    "tests/browser/test_a_quote_becomes_a_sold_piece.py",
    "tests/plans/cutting/sheets/test_the_paper.py",
    "tests/planner/cutting/plan/test_every_plan_tried.py",
    "tests/planner/gluing/test_wishes.py",
    "tests/browser/test_choosing_woods.py",
    "tests/planner/cutting/plan/test_runs_alike.py",
    "tests/browser/test_working_drawings.py",
    "tests/planner/cutting/plan/test_plans_with_every_wish.py",
    "tests/planner/picture/test_reading_rates.py",
    "tests/browser/test_bench_keys.py",
    "tests/planner/picture/test_pitches_of_any_size.py",
    "tests/browser/test_a_grid_by_finger_and_keys.py",
    "tests/browser/test_from_deposit_to_credit_note.py",
    "tests/browser/test_selling_at_a_fair.py",
    "tests/browser/test_wood_colour.py",
    "tests/planner/drawing/preview/test_grain.py",
    "tests/browser/test_an_enquiry_becomes_a_quote.py",
    "tests/browser/test_patterns_by_hand.py",
    "tests/browser/test_people_in_the_book.py",
    "tests/planner/picture/test_blurred_and_turned.py",
    "tests/browser/test_a_visitor_on_a_phone.py",
    "tests/browser/test_an_offer_on_a_phone.py",
    "tests/browser/test_a_delivery_of_fourteen.py",
    "tests/planner/matching/test_choice_is_the_least.py",
    "tests/browser/test_a_piece_from_photo_to_remake.py",
    "tests/planner/gluing/test_timetables.py",
    "tests/plans/book/test_cards_and_details_on_it.py",
    "tests/planner/drawing/preview/test_what_a_picture_shows.py",
    "tests/plans/book/test_asking_for_it.py",
    "tests/planner/picture/test_reading_pixel_art.py",
    "tests/planner/picture/test_cropped_enlargements.py",
    "tests/browser/test_board_in_grain.py",
    "tests/planner/picture/test_turned_with_margins.py",
    "tests/browser/test_stocktake_on_a_phone.py",
    "tests/planner/cutting/plan/test_a_general_solver_agrees.py",
    "tests/planner/cutting/plan/test_plans_can_be_cut.py",
    "tests/listings/public/test_visitors_under_attack.py",
    "tests/lumber/test_labels.py",
    "tests/plans/cutting/test_pages_of_a_cut_plan.py",
    "tests/planner/methods/test_boards_compared.py",
    "tests/listings/pieces/test_boards_get_their_numbers.py",
    "tests/browser/test_live_answers.py",
    "tests/browser/test_reducing_live.py",
    "tests/designs/test_grids_asked_for_with_nonsense.py",
    "tests/browser/test_shorts_on_a_phone.py",
    "tests/plans/cutting/asmade/test_tiles_as_made.py",
    "tests/designs/test_choosing_woods_large.py",
    "tests/planner/drawing/working/test_grey.py",
    "tests/browser/test_a_table_brought.py",
    "tests/designs/test_pictures_at_the_edge.py",
    "tests/planner/drawing/preview/test_pictures_as_files.py",
    "tests/plans/cutting/test_asking_and_keeping.py",
    "tests/designs/test_choosing_woods_at_the_edge.py",
    "tests/jobs/cutting/test_cuts_at_the_bench.py",
    "tests/payments/test_papers_of_money.py",
    "tests/jobs/offered/test_links_under_attack.py",
    "tests/jobs/tonight/test_what_the_bench_sends.py",
    "tests/jobs/test_wood_for_a_job.py",
]


def longest_first(items: list) -> None:
    """Put the tests of those files at the front; within a file they stay as they were."""
    gone = [name for name in LONGEST if not (ROOT / name).exists()]
    if gone:
        raise pytest.UsageError(f"tests/support/order.py names files that are not there: {', '.join(gone)}")
    place = {str(ROOT / name): n for n, name in enumerate(LONGEST)}
    items.sort(key=lambda item: place.get(str(item.path), len(place)))
