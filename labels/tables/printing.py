"""Tables of the printing pages."""

from decimal import Decimal

import django_tables2 as tables
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from inventory.measures import Measure, figure, format_measure, scale_of
from inventory.models import Product
from inventory.tables.columns import DAY_CELL
from inventory.words import say
from labels.models import LabelSheet, PrintRun

NUMBER = {"th": {"class": "number"}, "td": {"class": "number"}}


class PrintRunTable(tables.Table):
    printed_at = tables.DateTimeColumn(
        attrs=DAY_CELL, verbose_name=_("Printed"), format="j M Y H:i", linkify=True
    )
    batch = tables.Column(accessor="batch__code", verbose_name=_("Batch"))
    product = tables.Column(
        accessor="batch__product", orderable=False, verbose_name=_("product")
    )
    count = tables.Column(verbose_name=_("Labels"), attrs=NUMBER)
    used = tables.Column(verbose_name=_("Used"), attrs=NUMBER)
    spoiled = tables.Column(verbose_name=_("Spoiled"), attrs=NUMBER)
    destroyed = tables.Column(verbose_name=_("Destroyed"), attrs=NUMBER)
    kind = tables.Column(verbose_name=_("Kind"), empty_values=(), orderable=False)

    class Meta:
        model = PrintRun
        fields = [
            "printed_at",
            "batch",
            "product",
            "count",
            "used",
            "spoiled",
            "destroyed",
            "kind",
        ]
        order_by = "-printed_at"
        empty_text = _("Nothing printed yet: choose a batch on the Labels page.")

    caption = _("Print runs")

    def render_kind(self, record: PrintRun) -> SafeString | str:
        if record.is_draft:
            return format_html('<span class="status warn">{}</span>', say("draft"))
        return say("printed again") if record.is_reprint else say("for the jars")


class LookTable(tables.Table):
    name = tables.Column(
        verbose_name=_("Product"),
        linkify=lambda record: reverse("labels:productlabel-edit", args=[record.code]),
        order_by=("name", "jar_size"),
    )
    design = tables.Column(
        accessor="label__design", default=_("plain"), verbose_name=_("design")
    )
    arrangement = tables.Column(
        accessor="label__get_arrangement_display",
        verbose_name=_("Label"),
        orderable=False,
        default=_("one label with everything"),
    )
    sheet = tables.Column(
        accessor="label__sheet",
        verbose_name=_("Usual sheet"),
        default=_("any that fits"),
    )

    class Meta:
        model = Product
        fields = ["name", "design", "arrangement", "sheet"]
        order_by = "name"
        empty_text = _("No product yet: add one in the Pantry.")

    caption = _("How each product's label looks")

    def render_name(self, record: Product) -> str:
        return str(record)


def _size(width_mm: Decimal, height_mm: Decimal) -> str:
    scale = scale_of(Measure.LENGTH)
    width = figure(scale.shown(width_mm), scale.places)
    return f"{width} × {format_measure(height_mm, Measure.LENGTH)}"


class SheetTable(tables.Table):
    name = tables.Column(verbose_name=_("Sheet"), linkify=True)
    shape = tables.Column()
    label = tables.Column(
        verbose_name=_("Label"), empty_values=(), orderable=False, attrs=NUMBER
    )
    places = tables.Column(verbose_name=_("On a page"), orderable=False, attrs=NUMBER)
    page = tables.Column(
        verbose_name=_("Page"), empty_values=(), orderable=False, attrs=NUMBER
    )

    class Meta:
        model = LabelSheet
        fields = ["name", "shape", "label", "places", "page"]
        order_by = "name"
        empty_text = _("No sheet yet: measure the one you have.")

    caption = _("Label sheets by their measures")

    def render_label(self, record: LabelSheet) -> str:
        return _size(record.label_width_mm, record.label_height_mm)

    def render_page(self, record: LabelSheet) -> str:
        return _size(record.page_width_mm, record.page_height_mm)
