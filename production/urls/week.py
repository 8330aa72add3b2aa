"""Addresses of the week pages."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
