"""Tables of the printing pages."""

import django_tables2 as tables
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from inventory.models import Product
from inventory.words import say
from labels.models import LabelSheet, PrintRun

NUMBER = {"th": {"class": "number"}, "td": {"class": "number"}}


class PrintRunTable(tables.Table):
    printed_at = tables.DateTimeColumn(
        verbose_name=_("Printed"), format="j M Y H:i", linkify=True
    )
    batch = tables.Column(accessor="batch__code", verbose_name=_("Batch"))
    product = tables.Column(accessor="batch__product", orderable=False)
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
    design = tables.Column(accessor="label__design", default=_("plain"))
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


class SheetTable(tables.Table):
    name = tables.Column(verbose_name=_("Sheet"), linkify=True)
    shape = tables.Column()
    label = tables.Column(
        verbose_name=_("Label, mm"), empty_values=(), orderable=False, attrs=NUMBER
    )
    places = tables.Column(verbose_name=_("On a page"), orderable=False, attrs=NUMBER)
    page = tables.Column(
        verbose_name=_("Page, mm"), empty_values=(), orderable=False, attrs=NUMBER
    )

    class Meta:
        model = LabelSheet
        fields = ["name", "shape", "label", "places", "page"]
        order_by = "name"
        empty_text = _("No sheet yet: measure the one you have.")

    caption = _("Label sheets by their measures")

    def render_label(self, record: LabelSheet) -> str:
        return f"{record.label_width_mm.normalize():f} × {record.label_height_mm.normalize():f}"

    def render_page(self, record: LabelSheet) -> str:
        return f"{record.page_width_mm.normalize():f} × {record.page_height_mm.normalize():f}"
