"""The owner's addresses of the shop's page, of what visitors asked, and of all that is listed as a table."""

from django.urls import path

from shopapp.listings.enquiries import views as enquiries
from shopapp.listings.table import views as table

from . import views

urlpatterns = [
    path("listings.csv", table.listings_csv, name="listings_csv"),
    path("shop/", views.desk, name="shop_page"),
    path("shop/switch/", views.switch, name="switch_shop"),
    path("shop/look/", views.preview, name="preview"),
    path("shop/look/<int:number>/", views.preview_piece, name="preview_piece"),
    path("shop/photo-<int:picture_pk>-<int:width>.jpg", views.photo, name="shop_photo"),
    path("asked/", enquiries.enquiries, name="enquiries"),
    path("asked/<int:enquiry_pk>/", enquiries.enquiry, name="enquiry"),
    path("asked/<int:enquiry_pk>/take/", enquiries.take, name="take_enquirer"),
    path("asked/<int:enquiry_pk>/<slug:act>/", enquiries.act, name="enquiry_act"),
    path("<int:pk>/show/", views.show, name="show"),
]
