"""Addresses of the papers that expire and of every record's history."""

from django.urls import URLPattern, path

from inventory.views import records

urlpatterns: list[URLPattern] = [
    path("papers/", records.PaperList.as_view(), name="paper-list"),
    path("papers/add/", records.paper_edit, name="paper-add"),
    path("papers/<int:pk>/", records.paper_edit, name="paper-edit"),
    path("papers/<int:pk>/file/", records.paper_file, name="paper-file"),
    path("papers/<int:pk>/delete/", records.paper_delete, name="paper-delete"),
    path("history/<str:label>/<int:pk>/", records.history, name="history"),
]
