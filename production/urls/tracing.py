"""Addresses of the tracing pages."""

from django.urls import URLPattern, path

from production.views import tracing

urlpatterns: list[URLPattern] = [
    path("complaints/trace/", tracing.trace, name="trace"),
    path("complaints/records/", tracing.trace_days, name="trace-records"),
    path("complaints/trace/batch/<str:code>/", tracing.trace_batch, name="trace-batch"),
    path("complaints/trace/lot/<path:code>/", tracing.trace_lot, name="trace-lot"),
]
