"""Addresses of the pages that carry records in and out."""

from django.urls import URLPattern, path

from production.views import records

urlpatterns: list[URLPattern] = [
    path("records/", records.records, name="records"),
    path("records/workbook/", records.workbook_load, name="workbook-load"),
    path("records/workbook/template/", records.template, name="workbook-template"),
    path("records/workbook/save/", records.save, name="workbook-save"),
    path(
        "records/workbook/<str:token>/load/",
        records.workbook_confirm,
        name="workbook-confirm",
    ),
    path("records/separated/", records.separated_load, name="separated-load"),
    path(
        "records/separated/<str:key>.csv", records.separated_save, name="separated-save"
    ),
    path("records/counts/", records.counts_paste, name="counts-paste"),
    path("records/calendar/", records.calendar_save, name="calendar-save"),
    path(
        "records/calendar/address/", records.calendar_address, name="calendar-address"
    ),
    path("calendar/<str:token>.ics", records.calendar_feed, name="calendar-feed"),
    path("records/backup/", records.backup_save, name="backup-save"),
]
