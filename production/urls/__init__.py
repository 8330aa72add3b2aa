"""Addresses of the production pages, one module a room."""

from django.urls import URLPattern, URLResolver

from production.urls import (
    books,
    complaints,
    kitchen,
    recipes,
    records,
    season,
    tracing,
    week,
)

app_name = "production"

urlpatterns: list[URLPattern | URLResolver] = [
    *week.urlpatterns,
    *season.urlpatterns,
    *kitchen.urlpatterns,
    *recipes.urlpatterns,
    *books.urlpatterns,
    *complaints.urlpatterns,
    *tracing.urlpatterns,
    *records.urlpatterns,
]
