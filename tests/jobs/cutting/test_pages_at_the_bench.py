"""The pages at the bench: for helpers too, sent twice done once, nonsense refused in words."""

from __future__ import annotations

import secrets

import pytest

from shopapp.lumber.models import StockPiece
from shopapp.people.models import Member
from shopapp.plans.models import CutEntry
from tests.support.sawing import begun_job, board_now, cut

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def begun(owner):
    return begun_job(owner)


def press(client, begun, do, **changes):
    typed = {"do": do, "sheet": begun[1].pk, "form_key": secrets.token_urlsafe(24), **changes}
    return client.post(begun[0].to("cut_doing"), typed)


def test_a_helper_ticks_and_brings_back_and_sees_no_price(owner, client, begun, begun_marks):
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    client.force_login(joss)
    mark = begun_marks[1]
    answer = press(client, begun, f"cut:{mark}:0")
    assert answer.status_code == 302 and answer.url.endswith(f"#r-{mark}-1")
    assert CutEntry.objects.first().who == joss
    page = client.get(begun[0].to("cut_doing")).content.decode()
    assert "€" not in page and "Where its wood is" in page
    form = client.get(begun[0].to("cut_back", mark)).context["form"]
    typed = dict.fromkeys(form.fields, "")
    typed |= {f"fate_{ref}": "thrown" for ref in form.planned}
    typed |= {"form_key": "t" * 24, "edit_version": str(form.piece.edit_version)}
    assert client.post(begun[0].to("cut_back", mark), typed).status_code == 302
    assert board_now(begun[0], mark).waiting == []
    assert press(client, begun, "ask").status_code == 403


def test_sent_twice_is_done_once(owner, owner_client, begun, begun_marks):
    key = secrets.token_urlsafe(24)
    for _ in range(2):
        assert press(owner_client, begun, f"cut:{begun_marks[0]}:1", form_key=key).status_code == 302
    assert CutEntry.objects.filter(kind="cut").count() == 1


@pytest.mark.parametrize(
    "do", ["", "cut", "cut:X:1", "cut:S1", "cut:S1:99", "cut:::", "undo:", "undo:0", "undo:9999999", "burn", "cut:\0:1"]
)
def test_nonsense_is_refused_in_words_and_changes_nothing(owner, owner_client, begun, do):
    before = CutEntry.objects.count()
    answer = press(owner_client, begun, do)
    assert answer.status_code in (404, 422) and CutEntry.objects.count() == before


def test_an_offcut_longer_than_its_board_is_refused_at_its_field_and_what_was_typed_stays(
    owner, owner_client, begun, begun_marks
):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    address = begun[0].to("cut_back", mark)
    form = owner_client.get(address).context["form"]
    ref = next(iter(form.planned))
    typed = {f"fate_{one}": "later" for one in form.planned}
    typed |= {f"fate_{ref}": "back", f"length_{ref}": "1300", f"width_{ref}": "40", f"thickness_{ref}": "21"}
    typed |= {"form_key": "t" * 24, "edit_version": str(form.piece.edit_version)}
    answer = owner_client.post(address, typed)
    assert answer.status_code == 422 and "had less when it was taken" in answer.content.decode()
    assert answer.context["form"][f"length_{ref}"].value() == "1300"
    assert not StockPiece.objects.filter(parent__mark=mark).exists()
    # Nothing said of any of them changes nothing either.
    typed |= {f"fate_{ref}": "later"}
    assert "Nothing was said of any offcut" in owner_client.post(address, typed).content.decode()
