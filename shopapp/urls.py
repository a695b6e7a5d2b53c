"""Every address of the app, one line a capability."""

from django.urls import include, path

urlpatterns = [
    path("", include("shopapp.home.urls")),
    path("", include("shopapp.people.urls")),
    path("", include("shopapp.common.urls")),
    path("workshop/", include("shopapp.workshop.urls")),
    path("schedule/", include("shopapp.schedule.urls")),
    path("woods/", include("shopapp.lumber.urls")),
    path("designs/", include("shopapp.designs.urls")),
    path("plans/", include("shopapp.plans.urls")),
    path("payments/", include("shopapp.payments.urls")),
    path("quotes/", include("shopapp.quotes.urls")),
    path("jobs/", include("shopapp.jobs.urls")),
    # What private links open; the log leaves out what follows it (common/logs.py).
    path("offer/", include("shopapp.jobs.offered.urls")),
    path("books/", include("shopapp.books.urls")),
    path("listings/", include("shopapp.listings.urls")),
    # What everybody may open once it is switched on.
    path("shop/", include("shopapp.listings.public.urls")),
]
