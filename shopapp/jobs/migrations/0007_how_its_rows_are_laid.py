"""Whether a board's rows are laid face down belongs to its job; until it is said they lie face up."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("jobs", "0006_what_was_open_when_it_was_finished")]

    operations = [migrations.AddField("job", "face_down", models.BooleanField(default=False))]
