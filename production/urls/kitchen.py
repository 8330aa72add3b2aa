"""Addresses of the kitchen pages."""

from django.urls import URLPattern, path

from production.views import choosing, cooking, instruments, kitchen, papers

BATCH = "kitchen/batches/<int:pk>/"

urlpatterns: list[URLPattern] = [
    path("kitchen/", kitchen.kitchen, name="kitchen"),
    path("kitchen/plan/", kitchen.batch_plan, name="batch-plan"),
    path("kitchen/choose/<slug:what>/", choosing.choose, name="choose"),
    path(BATCH, kitchen.batch_detail, name="batch-detail"),
    path(f"{BATCH}drop/", kitchen.batch_cancel, name="batch-cancel"),
    path(f"{BATCH}start/", kitchen.batch_start, name="batch-start"),
    path(f"{BATCH}release/", kitchen.batch_release, name="batch-release"),
    path(f"{BATCH}hold/", kitchen.batch_hold, name="batch-hold"),
    path(f"{BATCH}reject/", kitchen.batch_reject, name="batch-reject"),
    path(f"{BATCH}cook-again/", kitchen.batch_recook, name="batch-recook"),
    path(f"{BATCH}more/", cooking.batch_add, name="batch-add"),
    path(f"{BATCH}finish/", cooking.batch_finish, name="batch-finish"),
    path(f"{BATCH}finish/undo/", cooking.batch_unfinish, name="batch-unfinish"),
    path(f"{BATCH}start/undo/", cooking.batch_unstart, name="batch-unstart"),
    path(
        f"{BATCH}more/<int:input_pk>/undo/",
        cooking.batch_take_out,
        name="batch-take-out",
    ),
    path(
        f"{BATCH}steps/<int:position>/<str:touch>/",
        cooking.step_touch,
        name="step-touch",
    ),
    path(f"{BATCH}readings/", cooking.reading_record, name="reading-record"),
    path(
        f"{BATCH}readings/<int:reading_pk>/undo/",
        cooking.reading_undo,
        name="reading-undo",
    ),
    path(f"{BATCH}seals/<int:output_pk>/", cooking.seal_check, name="seal-check"),
    path(f"{BATCH}seals/<int:output_pk>/undo/", cooking.seal_undo, name="seal-undo"),
    path(f"{BATCH}weights/<int:output_pk>/", cooking.weights, name="jar-weights"),
    path(f"{BATCH}sheet.pdf", papers.batch_sheet, name="batch-sheet"),
    path(f"{BATCH}record.pdf", papers.batch_record, name="batch-record"),
    path("kitchen/instruments/", instruments.instruments, name="instrument-list"),
    path("kitchen/instruments/add/", instruments.add, name="instrument-create"),
    path(
        "kitchen/instruments/<int:pk>/check/",
        instruments.check,
        name="instrument-check",
    ),
]
