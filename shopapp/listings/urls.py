from django.urls import include, path

from . import views
from .pieces.urls import urlpatterns as of_pieces
from .public.desk import urlpatterns as of_the_shop_page

app_name = "listings"
urlpatterns = [
    *of_pieces,
    *of_the_shop_page,
    path("", views.listings, name="listings"),
    path("new/<int:job_pk>/", views.new, name="new"),
    path("cards/", include("shopapp.listings.cards.urls")),
    path("<int:pk>/", views.listing, name="listing"),
    path("<int:pk>/change/", views.change, name="change"),
    path("<int:pk>/again/", views.again, name="again"),
    path("<int:pk>/<slug:act>/", views.gone, name="gone"),
]
