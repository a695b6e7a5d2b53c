from django.urls import include, path

from . import views
from .channels.urls import urlpatterns as of_channels
from .costing.urls import urlpatterns as of_costs
from .mending.urls import urlpatterns as of_mending
from .parcels.urls import urlpatterns as of_parcels
from .pieces.urls import urlpatterns as of_pieces
from .public.desk import urlpatterns as of_the_shop_page

app_name = "listings"
urlpatterns = [
    *of_pieces,
    *of_costs,
    *of_the_shop_page,
    *of_channels,
    *of_parcels,
    *of_mending,
    path("", views.listings, name="listings"),
    path("new/<int:job_pk>/", views.new, name="new"),
    path("cards/", include("shopapp.listings.cards.urls")),
    path("fairs/", include("shopapp.listings.fairs.urls")),
    path("<int:pk>/", views.listing, name="listing"),
    path("<int:pk>/change/", views.change, name="change"),
    path("<int:pk>/again/", views.again, name="again"),
    path("<int:pk>/<slug:act>/", views.gone, name="gone"),
]
