"""Addresses of the books pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
