"""A shop that writes inches: offcuts stand ready in inches, and confirmed untouched they go back as planned."""

from __future__ import annotations

from planner.measures import Length
from shopapp.lumber.models import StockPiece
from shopapp.plans.cutting.doing.balance import size_of
from shopapp.workshop.models import Workshop
from tests.rules.test_no_input_breaks_a_page import as_shown, form_of
from tests.support.sawing import a_job, a_rack, board_now, boards_of, cut, cutting_of, keep, now, start

inch = Length.of_inches


def test_planned_offcuts_confirmed_untouched_go_back_as_planned(owner, owner_client):
    Workshop.objects.create(pk=1, unit="in", crosscut_kerf=inch("1/8"), rip_kerf=inch("1/8"))
    a_rack(owner, each=2, thickness=inch("5/4"), width=inch("25/4"), length=inch(48))
    cutting = cutting_of(a_job(owner))
    begun = cutting, keep(owner, cutting)
    start(who=owner, cutting=cutting, sheet=begun[1])
    came = 0
    for mark in boards_of(begun[1].form):
        cut(owner, begun, mark)
        piece, waiting = StockPiece.objects.get(mark=mark), board_now(cutting, mark).waiting
        address = cutting.to("cut_back", mark)
        page = owner_client.get(address)
        typed = as_shown(form_of(owner_client, address)) | {"edit_version": piece.edit_version, "unit_shown": "in"}
        assert owner_client.post(address, typed).status_code == 302
        back = {(one.thickness, one.width, one.length) for one in StockPiece.objects.filter(parent=piece)}
        assert back == {size_of(one, piece) for one in waiting} and "mm" not in page.context["form"].unit_shown
        came += len(back)
    assert came and now(cutting).waiting == 0
    words = owner_client.get(cutting.to("cut_doing")).content.decode()
    assert "\u00a0mm" not in words and "\u00a0in" in words
