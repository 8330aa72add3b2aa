"""Addresses of the week pages; the week is also the first page."""

from django.urls import URLPattern, path

from production.views import week

urlpatterns: list[URLPattern] = [
    path("", week.week, name="week"),
    path("week/", week.week, name="week-here"),
    path("week/plan/", week.week_plan, name="week-plan"),
    path("week/wish/", week.week_wish, name="week-wish"),
    path("week/demand/", week.week_demand, name="week-demand"),
    path("week/hours/", week.week_hours, name="week-hours"),
    path("week/<int:pk>/accept/", week.week_accept, name="week-accept"),
    path("week/<int:pk>/pack/<int:number>/", week.week_pack, name="week-pack"),
    path("week/<int:pk>/calendar.ics", week.week_calendar, name="week-calendar"),
    path("week/<int:pk>/paper/", week.week_paper, name="week-paper"),
]
