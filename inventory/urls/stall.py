"""Addresses of the stall pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
