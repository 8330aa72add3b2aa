"""Addresses of the inventory pages, one module a room."""

from django.urls import URLPattern, URLResolver

from inventory.urls import pantry, records, setup, stall

app_name = "inventory"

urlpatterns: list[URLPattern | URLResolver] = [
    *pantry.urlpatterns,
    *stall.urlpatterns,
    *records.urlpatterns,
    *setup.urlpatterns,
]
