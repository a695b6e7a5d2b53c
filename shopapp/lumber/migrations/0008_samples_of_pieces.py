"""A colour becomes a sample: oiled or dry, of a piece with a name, seen on a day. What was kept before was oiled, of a
piece without a name, and seen on the day it was written down."""

import django.utils.timezone
from django.db import migrations, models

from shopapp.common.tables_at_once import AddFields


def seen_when_written_down(apps, schema_editor):
    # The table refuses every change; its triggers are laid anew after every migrate.
    on = ' ON "lumber_woodcolour"' if schema_editor.connection.vendor == "postgresql" else ""
    schema_editor.execute(f'DROP TRIGGER IF EXISTS "lumber_woodcolour_no_update"{on}')
    wood_colour = apps.get_model("lumber", "WoodColour")
    for row in wood_colour.objects.all():
        row.seen_on = django.utils.timezone.localdate(row.taken_at)
        row.save(update_fields=["seen_on"])


class Migration(migrations.Migration):
    dependencies = [("lumber", "0007_stocktakes_and_labels")]

    operations = [
        AddFields(
            [
                (
                    "woodcolour",
                    "state",
                    models.CharField(
                        choices=[("oiled", "oiled, as you finish your boards"), ("dry", "dry: sanded, no finish")],
                        default="oiled",
                        max_length=8,
                    ),
                ),
                ("woodcolour", "piece", models.CharField(blank=True, default="", max_length=60)),
                ("woodcolour", "finish", models.CharField(blank=True, default="", max_length=80)),
                ("woodcolour", "seen_on", models.DateField(default=django.utils.timezone.localdate)),
                ("woodcolour", "stands_for_wood", models.BooleanField(default=True)),
            ]
        ),
        migrations.AlterModelOptions("woodcolour", {"ordering": ["-seen_on", "-pk"]}),
        migrations.AddConstraint(
            "woodcolour",
            models.CheckConstraint(
                condition=models.Q(("state__in", ["oiled", "dry"])), name="a_sample_is_oiled_or_dry"
            ),
        ),
        migrations.RunPython(seen_when_written_down, migrations.RunPython.noop),
    ]
