"""Addresses of the tracing pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
