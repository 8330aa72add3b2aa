"""Addresses of the season pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
