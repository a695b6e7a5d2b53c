from django.db import migrations, models


class Migration(migrations.Migration):
    """The default lives in Python alone, so no table is rebuilt for it."""

    dependencies = [("people", "0001_initial")]

    operations = [
        migrations.SeparateDatabaseAndState(
            state_operations=[
                migrations.AlterField(
                    model_name="member",
                    name="role",
                    field=models.CharField(
                        choices=[("owner", "owner"), ("helper", "helper")], default="helper", max_length=10
                    ),
                ),
            ],
        ),
    ]
