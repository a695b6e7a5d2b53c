import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("common", "0002_initial"),
        ("lumber", "0005_tickets_counts_supplies"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="LabelSheet",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("asked_at", models.DateTimeField(auto_now_add=True)),
                ("pieces", models.JSONField()),
                ("paper", models.JSONField()),
                ("first", models.PositiveSmallIntegerField()),
                ("address", models.CharField(max_length=200)),
                ("task", models.CharField(blank=True, max_length=64)),
                (
                    "asked_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "document",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="common.storeddocument",
                    ),
                ),
            ],
            options={"ordering": ["-pk"]},
        ),
        migrations.RemoveIndex(model_name="stockpiece", name="lumber_stoc_state_b1e46a_idx"),
        migrations.AddIndex(
            model_name="stockpiece",
            index=models.Index(fields=["state", "wood", "-length", "mark"], name="pieces_as_they_are_listed"),
        ),
        migrations.AddField(
            model_name="stocktakecount",
            name="piece_version",
            field=models.PositiveIntegerField(default=0),
            preserve_default=False,
        ),
    ]
