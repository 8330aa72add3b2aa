"""Addresses of the checks pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
