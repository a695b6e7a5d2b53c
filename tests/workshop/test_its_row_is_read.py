"""The workshop's row, as every page reads it."""

from __future__ import annotations

import pytest
from django.forms.models import model_to_dict

from planner.measures import Length
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.storage]


def saved(**values) -> Workshop:
    Workshop.objects.update_or_create(pk=1, defaults=values)
    return the_workshop()


def test_every_column_is_read_as_an_ordinary_query_reads_it():
    read = saved(name="Quay boards", resaw=True, crosscut_kerf=Length.of_mm("2.4"), shop_moisture="8.25", ending=9)
    ordinary = Workshop.objects.get(pk=1)
    assert read == ordinary and not read._state.adding
    assert read.__dict__.keys() == ordinary.__dict__.keys()
    for field in Workshop._meta.concrete_fields:
        value, wanted = (getattr(row, field.attname) for row in (read, ordinary))
        assert (type(value), value) == (type(wanted), wanted), field.name


def test_what_was_written_since_is_read():
    before = saved(people=2, rip_kerf=Length.of_mm(3))
    after = saved(people=3, rip_kerf=Length.of_mm("2.2"))
    assert (before.people, after.people) == (2, 3)
    assert (before.rip_kerf, after.rip_kerf) == (Length.of_mm(3), Length.of_mm("2.2"))
    assert saved(people=2).people == 2


def test_what_one_reader_does_to_its_row_no_other_sees():
    one = saved(times={"crosscut": "1/2"}, carrier_tariff=[["2", "5.90"]])
    one.times["crosscut"], one.people = "9", 9
    one.carrier_tariff[0][1] = "0"
    other = the_workshop()
    assert other.times == {"crosscut": "1/2"} and other.carrier_tariff == [["2", "5.90"]] and other.people == 1


def test_before_anything_is_saved_the_defaults_are_read_and_nothing_is_written():
    assert model_to_dict(the_workshop()) == model_to_dict(Workshop(pk=1, edit_version=0))
    assert not Workshop.objects.exists()
