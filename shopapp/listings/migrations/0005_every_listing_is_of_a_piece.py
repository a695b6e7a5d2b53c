import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("listings", "0004_a_piece_behind_every_listing")]

    operations = [
        migrations.AlterField(
            model_name="listing",
            name="piece",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="listings", to="listings.piece"
            ),
        ),
        migrations.AddConstraint(
            model_name="listing",
            constraint=models.UniqueConstraint(
                fields=["piece"], condition=~models.Q(state="withdrawn"), name="a_piece_is_listed_once"
            ),
        ),
    ]
