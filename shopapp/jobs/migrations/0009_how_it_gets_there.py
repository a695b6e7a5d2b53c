"""A job says how it gets to whom it is for; until something is said, as is usual for its kind."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("jobs", "0008_running_time")]

    operations = [
        migrations.AddField(
            "job",
            "way",
            models.CharField(
                blank=True,
                choices=[("hand", "handed over in person"), ("carrier", "by carrier")],
                default="",
                max_length=8,
            ),
            preserve_default=False,
        )
    ]
