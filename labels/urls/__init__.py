"""Addresses of the labels pages, one module a room."""

from django.urls import URLPattern, URLResolver

from labels.urls import beginning, checks, places, printing

app_name = "labels"

urlpatterns: list[URLPattern | URLResolver] = [
    *beginning.urlpatterns,
    *checks.urlpatterns,
    *places.urlpatterns,
    *printing.urlpatterns,
]
