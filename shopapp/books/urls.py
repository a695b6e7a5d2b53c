from django.urls import path

from . import views
from .rack import views as rack

app_name = "books"
urlpatterns = [
    path("", views.now, name="now"),
    path("stock/", views.stock, name="stock"),
    path("stock.csv", views.stock_csv, name="stock_csv"),
    path("<int:year>/", views.year, name="year"),
    path("<int:year>/<int:month>/", views.month, name="month"),
    path("<int:year>/print/", views.sheet, name="sheet"),
    path("<int:year>/entries/<slug:what>/", views.entries, name="entries"),
    path("<int:year>/entries/<slug:what>.csv", views.entries_csv, name="entries_csv"),
    path("<int:year>/wood/entries/<slug:way>/", rack.entries, name="rack_entries"),
    path("<int:year>/wood/entries/<slug:way>.csv", rack.entries_csv, name="rack_entries_csv"),
    path("<int:year>/money/entries/<slug:side>/", views.money_entries, name="money_entries"),
    path("<int:year>/money/entries/<slug:side>.csv", views.money_entries_csv, name="money_entries_csv"),
    path("<int:year>/<slug:table>.csv", views.table_csv, name="table_csv"),
    path("<int:year>/<slug:part>/", views.part, name="part"),
]
