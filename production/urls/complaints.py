"""Addresses of the complaints pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
