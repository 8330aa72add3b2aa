"""Addresses of the records pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
