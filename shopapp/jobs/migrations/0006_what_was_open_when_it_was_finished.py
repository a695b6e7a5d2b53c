"""What was open when a job was finished all the same; of those finished before nobody wrote it down."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("jobs", "0005_about_an_earlier_piece")]

    operations = [migrations.AddField("jobevent", "left", models.JSONField(default=dict))]
