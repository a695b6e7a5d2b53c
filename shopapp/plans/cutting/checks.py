"""For `manage.py verify`: kept cut plans are what their hashes say, can be cut, and their floors are proved."""

from __future__ import annotations

from shopapp.plans.models import CutSheet

from . import planning


def sheets_that_do_not_hold() -> list[str]:
    """What is wrong with kept cut plans, one sentence a fault."""
    faults = []
    for sheet in CutSheet.objects.order_by("pk").iterator(chunk_size=20):
        if not sheet.matches_its_hash:
            faults.append(f"Cut sheet {sheet.pk} does not match its hash.")
            continue
        faults += [
            f"Cut sheet {sheet.pk}: {words}" for words in planning.faults_in_text(sheet.form, sheet.cost, sheet.floor)
        ]
    return faults
