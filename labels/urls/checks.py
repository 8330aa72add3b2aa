"""Addresses of the checks pages."""

from django.urls import URLPattern, path

from labels.views import checks

urlpatterns: list[URLPattern] = [
    path("labels/checks/", checks.check_list, name="check-list"),
    path("labels/checks/<str:subject>/", checks.check, name="check"),
]
