"""Tables of the kitchen pages."""

import django_tables2 as tables
from django.utils.html import format_html
from django.utils.safestring import SafeString

from production.models import Batch, Recipe

NUMBER = {"th": {"class": "number"}, "td": {"class": "number"}}
TONES = {"released": "good", "held": "warn", "rejected": "bad", "recalled": "bad"}


class BatchTable(tables.Table):
    code = tables.Column(
        verbose_name="Batch",
        linkify=True,
        empty_values=(),
        order_by=("made_on", "code"),
    )
    what = tables.Column(
        accessor="version__recipe__name", verbose_name="Recipe", linkify=False
    )
    planned_on = tables.DateColumn(verbose_name="Cook day", format="j M Y")
    expected_jars = tables.Column(verbose_name="Jars expected", attrs=NUMBER)
    status = tables.Column(verbose_name="Stands")

    class Meta:
        model = Batch
        fields = ["code", "what", "planned_on", "expected_jars", "status"]
        order_by = "-planned_on"
        empty_text = "No batch here yet: plan one, or let the week plan do it."

    caption = "Batches"

    def render_code(self, value: str | None) -> str:
        return value or "planned"

    def render_status(self, value: str, record: Batch) -> SafeString:
        return format_html(
            '<span class="status {}">{}</span>', TONES.get(record.status, ""), value
        )


class RecipeTable(tables.Table):
    name = tables.Column(linkify=True)
    kind = tables.Column()
    versions = tables.Column(accessor="version_count", attrs=NUMBER)
    batches = tables.Column(accessor="batch_count", attrs=NUMBER)

    class Meta:
        model = Recipe
        fields = ["name", "kind", "versions", "batches"]
        order_by = "name"
        empty_text = "No recipe yet: write the first one."

    caption = "Recipes"
