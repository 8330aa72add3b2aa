"""Addresses of the printing pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
