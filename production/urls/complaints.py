"""Addresses of the complaints pages."""

from django.urls import URLPattern, path

from production.views import complaints, drills, recalls, stop_sales

STOP = "complaints/stop-sales/<int:pk>/"
RECALL = "complaints/recalls/<int:pk>/"

urlpatterns: list[URLPattern] = [
    path("complaints/", complaints.complaint_list, name="complaint-list"),
    path("complaints/add/", complaints.complaint_create, name="complaint-create"),
    path(
        "complaints/suspects/",
        complaints.complaint_suspects,
        name="complaint-suspects",
    ),
    path("complaints/<int:pk>/", complaints.complaint_detail, name="complaint-detail"),
    path(
        "complaints/<int:pk>/batch/",
        complaints.complaint_point,
        name="complaint-point",
    ),
    path(
        "complaints/<int:pk>/close/",
        complaints.complaint_close,
        name="complaint-close",
    ),
    path(
        "complaints/<int:pk>/photo/",
        complaints.complaint_photo,
        name="complaint-photo",
    ),
    path("complaints/stop-sales/", stop_sales.stopsale_list, name="stopsale-list"),
    path(
        "complaints/stop-sales/add/",
        stop_sales.stopsale_create,
        name="stopsale-create",
    ),
    path(STOP, stop_sales.stopsale_detail, name="stopsale-detail"),
    path(f"{STOP}lift/", stop_sales.stopsale_lift, name="stopsale-lift"),
    path(
        "complaints/stop-sales/<int:stop_pk>/recall/",
        recalls.recall_create,
        name="recall-create",
    ),
    path(RECALL, recalls.recall_detail, name="recall-detail"),
    path(f"{RECALL}notice/", recalls.recall_notice, name="recall-notice"),
    path(
        f"{RECALL}shops/<int:outlet_pk>/",
        recalls.recall_check,
        name="recall-check",
    ),
    path(
        f"{RECALL}shops/<int:outlet_pk>/letter.pdf",
        recalls.shop_letter,
        name="recall-letter",
    ),
    path(f"{RECALL}jars/", recalls.recall_take_in, name="recall-take-in"),
    path(f"{RECALL}authority/", recalls.recall_authority, name="recall-authority"),
    path(f"{RECALL}close/", recalls.recall_close, name="recall-close"),
    path(f"{RECALL}papers/<slug:paper>/", recalls.notice_paper, name="recall-paper"),
    path("complaints/drills/", drills.drill_list, name="drill-list"),
    path("complaints/drills/start/", drills.drill_start, name="drill-start"),
    path("complaints/drills/<int:pk>/", drills.drill_detail, name="drill-detail"),
    path(
        "complaints/drills/<int:pk>/record.pdf",
        drills.drill_paper,
        name="drill-paper",
    ),
]
