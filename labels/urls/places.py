"""Addresses of the places pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
