"""Addresses of the places pages."""

from django.urls import URLPattern, path

from labels.views import places

urlpatterns: list[URLPattern] = [
    path("labels/places/", places.PlaceList.as_view(), name="place-list"),
    path("labels/places/new/", places.place_create, name="place-create"),
    path("labels/places/<slug:code>/", places.place_detail, name="place-detail"),
    path("labels/places/<slug:code>/edit/", places.place_edit, name="place-edit"),
    path("labels/places/<slug:code>/sign/", places.place_sign, name="place-sign"),
    path("labels/places/<slug:code>/words/", places.place_words, name="place-words"),
    path("labels/places/<slug:code>/choose/", places.place_choose, name="place-choose"),
]
