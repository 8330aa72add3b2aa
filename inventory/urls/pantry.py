"""Addresses of the pantry pages."""

from django.urls import URLPattern, path

from inventory.views import choosing, materials, pantry, purchases

urlpatterns: list[URLPattern] = [
    path("pantry/", pantry.home, name="pantry"),
    path("pantry/weigh/", pantry.weigh, name="weigh"),
    path("pantry/choose/<slug:what>/", choosing.choose, name="choose"),
    path("pantry/ledger/", pantry.Ledger.as_view(), name="ledger"),
    path("pantry/freezer/", pantry.freezer, name="freezer"),
    path("pantry/lots/", pantry.LotList.as_view(), name="lot-list"),
    path("pantry/lots/<str:code>/", pantry.lot_detail, name="lot-detail"),
    path("pantry/lots/<str:code>/edit/", pantry.lot_edit, name="lot-edit"),
    path("pantry/lots/<str:code>/freeze/", pantry.lot_freeze, name="lot-freeze"),
    path(
        "pantry/lots/<str:code>/write-off/", pantry.lot_write_off, name="lot-write-off"
    ),
    path("pantry/lots/<str:code>/brought-back/", pantry.lot_return, name="lot-return"),
    path("pantry/lots/<str:code>/count/", pantry.lot_count, name="lot-count"),
    path(
        "pantry/movements/<int:pk>/correct/",
        pantry.movement_correct,
        name="movement-correct",
    ),
    path("pantry/movements/<int:pk>/undo/", pantry.movement_undo, name="movement-undo"),
    path("pantry/materials/", materials.MaterialList.as_view(), name="material-list"),
    path("pantry/materials/add/", materials.material_edit, name="material-add"),
    path(
        "pantry/materials/<int:pk>/", materials.material_detail, name="material-detail"
    ),
    path(
        "pantry/materials/<int:pk>/edit/", materials.material_edit, name="material-edit"
    ),
    path(
        "pantry/materials/<int:material>/offers/add/",
        materials.pack_edit,
        name="pack-add",
    ),
    path("pantry/offers/<int:pk>/edit/", materials.pack_edit, name="pack-edit"),
    path(
        "pantry/materials/<int:material>/seasons/add/",
        materials.season_edit,
        name="season-add",
    ),
    path("pantry/seasons/<int:pk>/edit/", materials.season_edit, name="season-edit"),
    path(
        "pantry/seasons/<int:pk>/delete/", materials.season_delete, name="season-delete"
    ),
    path(
        "pantry/materials/<int:material>/weighings/add/",
        materials.weighing_add,
        name="weighing-add",
    ),
    path("pantry/suppliers/", materials.SupplierList.as_view(), name="supplier-list"),
    path("pantry/suppliers/add/", materials.supplier_edit, name="supplier-add"),
    path(
        "pantry/suppliers/<int:pk>/",
        materials.SupplierDetail.as_view(),
        name="supplier-detail",
    ),
    path(
        "pantry/suppliers/<int:pk>/edit/", materials.supplier_edit, name="supplier-edit"
    ),
    path("pantry/purchases/", purchases.PurchaseList.as_view(), name="purchase-list"),
    path("pantry/purchases/add/", purchases.purchase_add, name="purchase-add"),
    path(
        "pantry/purchases/<int:pk>/", purchases.purchase_detail, name="purchase-detail"
    ),
    path(
        "pantry/purchases/<int:pk>/receipt/",
        purchases.purchase_receipt,
        name="purchase-receipt",
    ),
    path("pantry/opening/", purchases.opening_add, name="opening-add"),
]
