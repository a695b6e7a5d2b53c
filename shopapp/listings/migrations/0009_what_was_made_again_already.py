"""Remakes that were begun before are named by the parcel they were begun from, and stand in for the piece in it."""

from django.db import migrations


def link_them(apps, schema_editor):
    Job = apps.get_model("jobs", "Job")
    Parcel = apps.get_model("listings", "Parcel")
    Piece = apps.get_model("listings", "Piece")
    named = set()
    for parcel in Parcel.objects.filter(state__in=("damaged", "lost", "back")).select_related("piece").order_by("pk"):
        begun = Job.objects.filter(of=parcel.piece.job_id, kind="remake", created_at__gte=parcel.created_at)
        job = begun.exclude(state="called off").exclude(pk__in=named).order_by("pk").first()
        if job is not None:
            named.add(job.pk)
            parcel.remake = job
            parcel.save(update_fields=["remake"])
    for piece in Piece.objects.filter(job__kind="remake").select_related("job").order_by("number"):
        parcel = Parcel.objects.filter(remake=piece.job_id).first()
        meant = list(Piece.objects.filter(job=piece.job.of_id)[:2])
        lost = parcel.piece_id if parcel is not None else meant[0].pk if len(meant) == 1 else None
        if lost is not None and not Piece.objects.filter(instead_of=lost).exists():
            piece.instead_of_id = lost
            piece.save(update_fields=["instead_of"])


class Migration(migrations.Migration):
    dependencies = [("listings", "0008_a_piece_that_stands_in_for_another"), ("jobs", "0005_about_an_earlier_piece")]

    operations = [migrations.RunPython(link_them, migrations.RunPython.noop)]
