"""Addresses of the production pages."""

from django.urls import URLPattern, URLResolver

app_name = "production"

urlpatterns: list[URLPattern | URLResolver] = []
