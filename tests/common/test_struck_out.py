"""A name is struck out of what was told, and nothing else is; a file taken away is known to be gone."""

from __future__ import annotations

import pytest

from shopapp.common import erasing
from shopapp.common.actions import write_audit
from shopapp.common.documents import store_document
from shopapp.common.files import faults_of_stored_files, file_path
from shopapp.common.models import AuditLine, TakenAway

GONE = "somebody"


@pytest.mark.parametrize(
    ("told", "left"),
    [
        ("Quote 4 was made for Wren Attwater: Heron.", "Quote 4 was made for somebody: Heron."),
        ("WREN  ATTWATER asked, and wren attwater\npaid.", "somebody asked, and somebody\npaid."),
        ("Wren Attwater’s heron", "somebody’s heron"),
        ("Wren Attwaterson came; the wren did not.", "Wren Attwaterson came; the wren did not."),
        ("Sedge (Sedge & Sons)", "somebody (somebody & Sons)"),
        ("Sedgewick", "Sedgewick"),
    ],
)
def test_a_name_is_struck_as_words_of_its_own(told, left):
    assert erasing.struck(told, ["Wren Attwater", "Sedge"], GONE) == left


def test_a_name_with_signs_in_it_is_taken_letter_by_letter():
    assert erasing.struck("for O’Hara (junior) and O’Haraa", ["O’Hara (junior)"], r"\1 somebody") == (
        r"for \1 somebody and O’Haraa"
    )


def test_the_longer_of_two_names_goes_first():
    assert erasing.struck("Ash Sedge and Ash", ["Ash", "Ash Sedge"], GONE) == "somebody and somebody"


def test_the_beginning_of_a_name_that_a_full_line_was_cut_off_in_goes_too(owner):
    line = write_audit(owner, "x" * 388 + " Wren Attwater had it.", owner)
    assert line.what.endswith("Wren Attwat")
    assert erasing.strike_audit([owner], ["Wren Attwater"], GONE) == 1
    line.refresh_from_db()
    assert "Wren" not in line.what and line.what.startswith("x" * 388)


def test_only_lines_about_the_rows_named_are_struck(owner):
    other = write_audit(None, "Wren Attwater was told of.", AuditLine())
    mine = write_audit(owner, "Wren Attwater was told of.", owner)
    assert erasing.strike_audit([owner], ["Wren Attwater"], GONE) == 1
    other.refresh_from_db()
    mine.refresh_from_db()
    assert (other.what, mine.what) == ("Wren Attwater was told of.", "somebody was told of.")
    assert erasing.strike_audit_everywhere("Wren Attwater", GONE) == 1
    assert not AuditLine.objects.filter(what__contains="Wren").exists()


def test_a_file_taken_away_leaves_its_hash_and_is_missed_by_nobody(db, django_capture_on_commit_callbacks):
    kept, gone = (store_document(b"%PDF " + word, title="For Wren Attwater") for word in (b"kept", b"gone"))
    with django_capture_on_commit_callbacks(execute=True):
        assert erasing.take_away([gone]) == 1
        assert file_path(gone.name).exists(), "not before it is sure that the rest of it is done"
    assert not file_path(gone.name).exists() and file_path(kept.name).exists()
    assert faults_of_stored_files() == []
    gone.refresh_from_db()
    assert gone.title == "" and len(gone.sha256) == 64 and TakenAway.objects.get().name == gone.name
    assert erasing.take_away([gone]) == 0


def test_a_file_that_should_be_gone_is_told_of_and_removed_by_the_worker(db):
    gone = store_document(b"%PDF", title="")
    erasing.take_away([gone])
    assert faults_of_stored_files() == [f"{gone.name} was to be destroyed by an erasure and is still there."]
    erasing.finish_taking_away()
    assert faults_of_stored_files() == []
