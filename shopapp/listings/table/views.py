from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from shopapp.common.tables import answer
from shopapp.people.permissions import owner_required

from .columns import listings_csv as written


@require_GET
@owner_required
def listings_csv(request: HttpRequest) -> HttpResponse:
    """Prices stand in it, so it is the owner's alone."""
    return answer("listings.csv", written())
