from django.urls import path

from . import views
from .buying import views as buying
from .buying.tables import views as tables
from .buying.tickets import views as tickets
from .colours import views as colours
from .counting import views as counting
from .labels import views as labels
from .rack import answers
from .rack import views as rack
from .supplies import views as supplies

app_name = "lumber"
urlpatterns = [
    path("", views.woods, name="woods"),
    path("add/", views.add, name="add"),
    path("suppliers/", buying.suppliers, name="suppliers"),
    path("suppliers/add/", buying.add_supplier, name="add_supplier"),
    path("suppliers/<int:supplier_pk>/", buying.supplier, name="supplier"),
    path("buy/", buying.buy, name="buy"),
    path("buy/table/", tables.table, name="buy_table"),
    path("deliveries/", buying.deliveries, name="deliveries"),
    path("deliveries/<int:delivery_pk>/", buying.delivery, name="delivery"),
    path("deliveries/<int:delivery_pk>/delivery.csv", buying.delivery_csv, name="delivery_csv"),
    path("deliveries/<int:delivery_pk>/tickets/", tickets.tickets, name="tickets"),
    path("deliveries/<int:delivery_pk>/tickets/state/", tickets.tickets_state, name="tickets_state"),
    path("deliveries/<int:delivery_pk>/undo/", buying.undo_delivery, name="undo_delivery"),
    path("supplies/", supplies.supplies, name="supplies"),
    path("supplies/add/", supplies.add_supply, name="add_supply"),
    path("supplies/<int:supply_pk>/", supplies.supply, name="supply"),
    path("supplies/<int:supply_pk>/change/", supplies.change_supply, name="change_supply"),
    path("supplies/<int:supply_pk>/undo/", supplies.supply_undo, name="supply_undo"),
    path("supplies/<int:supply_pk>/<slug:act>/", supplies.supply_act, name="supply_act"),
    path("stocktakes/", counting.stocktakes, name="stocktakes"),
    path("stocktakes/<int:stocktake_pk>/", counting.stocktake, name="stocktake"),
    path("stocktakes/<int:stocktake_pk>/count/", counting.stocktake_count, name="stocktake_count"),
    path("stocktakes/<int:stocktake_pk>/close/", counting.stocktake_close, name="stocktake_close"),
    path("stocktakes/<int:stocktake_pk>/undo/", counting.stocktake_undo, name="stocktake_undo"),
    path("stocktakes/<int:stocktake_pk>/of/<slug:mark>/", counting.stocktake_piece, name="stocktake_piece"),
    path("stocktakes/<int:stocktake_pk>/of/<slug:mark>/back/", counting.stocktake_uncount, name="stocktake_uncount"),
    path("rack/", rack.rack, name="rack"),
    path("rack/rack.csv", rack.rack_csv, name="rack_csv"),
    path("rack/worth/", answers.worth, name="worth"),
    path("rack/promised/", answers.promised, name="promised"),
    path("rack/fit/", answers.fit, name="fit"),
    path("rack/short/", answers.short, name="short"),
    path("rack/labels/", labels.labels, name="labels"),
    path("rack/labels/<int:sheet_pk>/", labels.label_sheet, name="label_sheet"),
    path("rack/labels/<int:sheet_pk>/state/", labels.label_sheet_state, name="label_sheet_state"),
    path("rack/labels/<int:sheet_pk>/labels.pdf", labels.label_sheet_pdf, name="label_sheet_pdf"),
    path("rack/<slug:mark>/", rack.piece, name="piece"),
    path("rack/<slug:mark>/undo/", rack.piece_undo, name="piece_undo"),
    path("rack/<slug:mark>/<slug:act>/", rack.piece_act, name="piece_act"),
    path("<slug:wood_id>/", views.wood_page, name="wood"),
    path("<slug:wood_id>/on-hand/", views.on_hand, name="on_hand"),
    path("<slug:wood_id>/colour/", colours.colour, name="colour"),
    path("<slug:wood_id>/colour/by-eye/", colours.colour_by_eye, name="colour_by_eye"),
    path("<slug:wood_id>/colour/<int:photo_pk>/", colours.colour_photo, name="colour_photo"),
    path("<slug:wood_id>/colour/<int:photo_pk>/waiting/", colours.colour_waiting, name="colour_waiting"),
    path("<slug:wood_id>/colour/<int:photo_pk>/swatch/", colours.colour_swatch, name="colour_swatch"),
]
