"""The models and the migrations say the same."""

import pytest
from django.core.management import call_command


@pytest.mark.django_db
def test_no_change_of_a_model_waits_for_its_migration():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)
