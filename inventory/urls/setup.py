"""Addresses of the seller's own facts."""

from django.urls import URLPattern, path

from inventory.views import setup

urlpatterns: list[URLPattern] = [
    path("business/", setup.business_edit, name="business-edit"),
    path("style/", setup.style, name="style"),
    path("worker.js", setup.worker, name="worker"),
    path("glossary/", setup.glossary, name="glossary"),
]
