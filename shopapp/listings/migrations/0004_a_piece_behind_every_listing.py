"""What was listed becomes a numbered piece, what was sold becomes a sale."""

from decimal import Decimal
from fractions import Fraction

from django.db import migrations


def number_them(apps, schema_editor):
    Listing = apps.get_model("listings", "Listing")
    Piece = apps.get_model("listings", "Piece")
    PieceEvent = apps.get_model("listings", "PieceEvent")
    Sale = apps.get_model("listings", "Sale")
    JobEvent = apps.get_model("jobs", "JobEvent")
    for number, listing in enumerate(Listing.objects.filter(piece=None).order_by("pk"), start=1):
        finished = JobEvent.objects.filter(job=listing.job_id, state="finished").order_by("pk").first()
        made_on = (finished.at if finished else listing.created_at).date()
        where = {"sold": "sold", "given": "given"}.get(listing.state, "here")
        piece = Piece.objects.create(
            number=number, job_id=listing.job_id, title=listing.title, made_on=made_on, where=where
        )
        said = f"{listing.title} got its number, {number}."
        PieceEvent.objects.create(piece=piece, where="here", on=made_on, words=said, plain_words=said)
        newest = listing.events.order_by("-pk").first()
        if where != "here":
            PieceEvent.objects.create(
                piece=piece,
                where=where,
                on=newest.on,
                person=newest.person,
                to_whom=newest.to_whom,
                words=newest.words,
                plain_words=newest.plain_words,
            )
        if where == "sold":
            # Which tax was in it was not written down then: the whole of what was got counts as net.
            piece.sale = Sale.objects.create(
                piece=piece,
                listing=listing,
                on=newest.on,
                person=newest.person,
                to_whom=newest.to_whom,
                price=newest.got,
                gross=newest.got,
                net=newest.got,
                tax=Fraction(0),
                tax_sum=Decimal(0),
                currency_symbol=listing.currency_symbol,
                currency_exponent=listing.currency_exponent,
                how="other",
                words="Sold before sales were written down with their tax and their way.",
                who=newest.who,
            )
            piece.save()
        listing.piece = piece
        listing.save(update_fields=["piece"])


class Migration(migrations.Migration):
    dependencies = [("listings", "0003_pieces_sales_and_what_they_cost"), ("jobs", "0005_about_an_earlier_piece")]

    operations = [migrations.RunPython(number_them, migrations.RunPython.noop)]
