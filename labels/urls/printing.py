"""Addresses of the printing pages."""

from django.urls import URLPattern, path

from labels.views import printing, sheets

urlpatterns: list[URLPattern] = [
    path("labels/", printing.home, name="home"),
    path("labels/print/<str:code>/", printing.print_form, name="print"),
    path(
        "labels/print/<str:code>/preview/", printing.print_preview, name="print-preview"
    ),
    path("labels/print/<str:code>/proof.pdf", printing.proof, name="proof"),
    path("labels/look/", sheets.productlabel_list, name="productlabel-list"),
    path(
        "labels/look/<slug:code>/", sheets.productlabel_edit, name="productlabel-edit"
    ),
    path(
        "labels/look/<slug:code>/preview/",
        sheets.productlabel_preview,
        name="productlabel-preview",
    ),
    path("labels/sheets/", sheets.sheet_list, name="sheet-list"),
    path("labels/sheets/new/", sheets.sheet_create, name="sheet-create"),
    path("labels/sheets/<slug:name>/", sheets.sheet_detail, name="sheet-detail"),
    path("labels/sheets/<slug:name>/edit/", sheets.sheet_edit, name="sheet-edit"),
    path("labels/sheets/<slug:name>/offset/", sheets.sheet_offset, name="sheet-offset"),
    path(
        "labels/sheets/<slug:name>/calibration.pdf",
        sheets.calibration,
        name="sheet-calibration",
    ),
    path("labels/runs/", printing.printrun_list, name="printrun-list"),
    path("labels/runs/<int:pk>/", printing.printrun_detail, name="printrun-detail"),
    path(
        "labels/runs/<int:pk>/labels.pdf", printing.printrun_file, name="printrun-file"
    ),
    path("labels/runs/<int:pk>/tally/", printing.printrun_tally, name="printrun-tally"),
]
