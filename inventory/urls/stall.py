"""Addresses of the stall pages."""

from django.urls import URLPattern, path

from inventory.views import counting, handing_out, shops, stall

urlpatterns: list[URLPattern] = [
    path("stall/", stall.home, name="stall"),
    path("stall/outlets/", stall.OutletList.as_view(), name="outlet-list"),
    path("stall/outlets/add/", stall.outlet_edit, name="outlet-add"),
    path("stall/outlets/<int:pk>/", stall.outlet_detail, name="outlet-detail"),
    path("stall/outlets/<int:pk>/edit/", stall.outlet_edit, name="outlet-edit"),
    path("stall/outlets/<int:outlet>/visit/", shops.visit_add, name="visit-add"),
    path(
        "stall/outlets/<int:outlet>/delivery/", shops.delivery_add, name="delivery-add"
    ),
    path("stall/days/", stall.DayList.as_view(), name="marketday-list"),
    path("stall/days/add/", stall.day_add, name="marketday-add"),
    path("stall/days/<int:pk>/", stall.day_detail, name="marketday-detail"),
    path("stall/days/<int:pk>/edit/", stall.day_edit, name="marketday-edit"),
    path("stall/days/<int:pk>/pack/", stall.day_pack, name="marketday-pack"),
    path("stall/days/<int:pk>/packing-list/", stall.packing_list, name="packing-list"),
    path("stall/days/<int:pk>/out/", counting.count_out, name="count-out"),
    path("stall/days/<int:pk>/now/", counting.at_the_stall, name="at-the-stall"),
    path("stall/days/<int:pk>/touch/", counting.touch, name="stall-touch"),
    path("stall/days/<int:pk>/sold-out/", counting.sold_out, name="sold-out"),
    path("stall/days/<int:pk>/back/", counting.count_back, name="count-back"),
    path("stall/days/<int:pk>/cash/", stall.day_cash, name="marketday-cash"),
    path("stall/days/<int:pk>/cancel/", stall.day_cancel, name="marketday-cancel"),
    path("stall/visits/", shops.VisitList.as_view(), name="visit-list"),
    path("stall/visits/<int:pk>/", shops.visit_detail, name="visit-detail"),
    path("stall/visits/<int:pk>/print/", shops.visit_print, name="visit-print"),
    path("stall/visits/<int:pk>/paid/", shops.visit_paid, name="visit-paid"),
    path("stall/hand-out/", handing_out.hand_out, name="hand-out"),
    path("stall/hand-out/touch/", handing_out.hand_out_touch, name="hand-out-touch"),
    path(
        "stall/hand-out/<int:pk>/undo/", handing_out.hand_out_undo, name="hand-out-undo"
    ),
]
