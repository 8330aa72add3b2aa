"""Addresses of the kitchen pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
