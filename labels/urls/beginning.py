"""Addresses of the first page of an empty book."""

from django.urls import URLPattern, path

from labels.views import beginning

urlpatterns: list[URLPattern] = [
    path("begin/", beginning.begin, name="begin"),
    path("begin/demonstration/", beginning.demonstration, name="demonstration"),
]
