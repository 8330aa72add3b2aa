"""Tables of the kitchen pages."""

from decimal import Decimal

import django_tables2 as tables
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from inventory.measures import format_volume
from inventory.models import JarSize, Product
from inventory.quantities import format_mass
from inventory.tables.columns import DAY_CELL, fruit_cell
from inventory.words import say
from production.models import Batch, Recipe
from production.wording import number_text

NUMBER = {"th": {"class": "number"}, "td": {"class": "number"}}
TONES = {"released": "good", "held": "warn", "rejected": "bad", "recalled": "bad"}


class BatchTable(tables.Table):
    code = tables.Column(
        verbose_name=_("Batch"),
        linkify=True,
        empty_values=(),
        order_by=("made_on", "code"),
    )
    what = tables.Column(
        accessor="version__recipe__name", verbose_name=_("Recipe"), linkify=False
    )
    planned_on = tables.DateColumn(
        attrs=DAY_CELL, verbose_name=_("Cook day"), format="j M Y"
    )
    expected_jars = tables.Column(verbose_name=_("Jars expected"), attrs=NUMBER)
    status = tables.Column(verbose_name=_("Stands"))

    class Meta:
        model = Batch
        fields = ["code", "what", "planned_on", "expected_jars", "status"]
        order_by = "-planned_on"
        empty_text = _("No batch here yet: plan one, or let the week plan do it.")

    caption = _("Batches")

    def render_expected_jars(self, value: Decimal) -> str:
        return number_text(value, places=1)

    def render_code(self, value: str | None) -> str:
        return value or say("planned")

    def render_status(self, value: str, record: Batch) -> SafeString:
        return format_html(
            '<span class="status {}">{}</span>', TONES.get(record.status, ""), value
        )


class RecipeTable(tables.Table):
    name = tables.Column(linkify=True)
    kind = tables.Column()
    versions = tables.Column(accessor="version_count", attrs=NUMBER)
    batches = tables.Column(
        accessor="batch_count", attrs=NUMBER, verbose_name=_("batches")
    )

    class Meta:
        model = Recipe
        fields = ["name", "kind", "versions", "batches"]
        order_by = "name"
        empty_text = _("No recipe yet: write the first one.")

    caption = _("Recipes")


class ProductTable(tables.Table):
    name = tables.Column(linkify=True, verbose_name=_("Product"), attrs=fruit_cell())
    jar_size = tables.Column(verbose_name=_("Jar"))
    recipe = tables.Column(accessor="filling__recipe", verbose_name=_("Filled with"))
    net_weight_g = tables.Column(verbose_name=_("Declared"), attrs=NUMBER)
    withdrawn_on = tables.DateColumn(
        attrs=DAY_CELL, verbose_name=_("Withdrawn"), format="j M Y"
    )

    class Meta:
        model = Product
        fields = ["name", "jar_size", "recipe", "net_weight_g", "withdrawn_on"]
        order_by = "name"
        empty_text = _("No product yet: a product is a recipe in a jar size.")

    caption = _("Products")

    def render_net_weight_g(self, value: Decimal) -> str:
        return format_mass(value)


class JarSizeTable(tables.Table):
    name = tables.Column(
        verbose_name=_("Jar"),
        linkify=("production:jarsize-edit", {"pk": tables.A("pk")}),
    )
    brim_ml = tables.Column(verbose_name=_("Brimful"), attrs=NUMBER)
    processing_size = tables.Column(verbose_name=_("Processed as"))
    per_canner_load = tables.Column(verbose_name=_("In the canner"), attrs=NUMBER)

    class Meta:
        model = JarSize
        fields = ["name", "brim_ml", "processing_size", "per_canner_load", "jar", "lid"]
        order_by = "brim_ml"
        empty_text = _("No jar size yet: add the first one.")

    caption = _("Jar sizes")

    def render_brim_ml(self, value: Decimal) -> str:
        return format_volume(value)
