"""A shop that was set up before goes on counting in board feet; a new one counts as goes with its lengths."""

from django.db import migrations, models


def as_before(apps, schema_editor):
    apps.get_model("workshop", "Workshop").objects.update(wood_in="bf")


class Migration(migrations.Migration):
    dependencies = [
        ("workshop", "0005_selling_and_papers"),
    ]

    operations = [
        migrations.AddField(
            model_name="workshop",
            name="wood_in",
            field=models.CharField(
                blank=True,
                choices=[
                    ("", "cubic decimetres with millimetres, board feet with inches"),
                    ("bf", "board feet"),
                    ("dm3", "cubic decimetres"),
                ],
                default="",
                max_length=3,
            ),
        ),
        migrations.RunPython(as_before, migrations.RunPython.noop),
    ]
