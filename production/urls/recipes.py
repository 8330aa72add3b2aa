"""Addresses of the recipes pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
