"""Every quote made before there were options offers one: what it was made from."""

from django.db import migrations


def give_options(apps, schema_editor) -> None:
    Quote = apps.get_model("quotes", "Quote")
    Option = apps.get_model("quotes", "QuoteOption")
    Option.objects.bulk_create(
        [
            Option(quote_id=pk, place=1, label=title, plan_id=plan, boards=boards, price=price)
            for pk, title, plan, boards, price in Quote.objects.order_by("pk").values_list(
                "pk", "title", "plan_id", "boards", "price"
            )
        ]
    )


class Migration(migrations.Migration):
    dependencies = [("quotes", "0002_drafts_options_answers")]
    operations = [migrations.RunPython(give_options, migrations.RunPython.noop)]
