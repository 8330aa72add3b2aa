"""Addresses of the season's plan."""

from django.urls import URLPattern, path

from production.views import season

urlpatterns: list[URLPattern] = [
    path("week/season/", season.season, name="season"),
    path("week/season/search/", season.season_search, name="season-search"),
    path("week/season/stop/", season.season_stop, name="season-stop"),
    path("week/season/progress/", season.season_progress, name="season-progress"),
]
