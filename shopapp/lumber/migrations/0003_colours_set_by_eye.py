"""A colour that was set by eye before colours were written down is the first of its wood's colours."""

from django.db import migrations


def write_down(apps, schema_editor):
    wood_on_hand = apps.get_model("lumber", "WoodOnHand")
    wood_colour = apps.get_model("lumber", "WoodColour")
    for row in wood_on_hand.objects.filter(colour_is_stand_in=False):
        wood_colour.objects.create(wood=row, rgb=row.finished_rgb, taken_at=row.changed_at)


class Migration(migrations.Migration):
    dependencies = [("lumber", "0002_colours_of_woods")]

    operations = [migrations.RunPython(write_down, migrations.RunPython.noop)]
