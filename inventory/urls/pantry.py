"""Addresses of the pantry pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
