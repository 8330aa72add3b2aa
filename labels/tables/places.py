"""Tables of the places and the label checks."""

import django_tables2 as tables
from django.utils.html import format_html
from django.utils.safestring import SafeString

from inventory.tables.columns import DayColumn
from labels.models import PlaceProfile

TONES = {"ready": "good", "partial": "warn", "outline": "bad", "own": "good"}


class PlaceTable(tables.Table):
    place = tables.Column(linkify=True)
    completeness = tables.Column(verbose_name="Read")
    statement = tables.Column(
        accessor="body__statement_basis", verbose_name="Statement", orderable=False
    )
    read_on = DayColumn(verbose_name="Read on")

    class Meta:
        model = PlaceProfile
        fields = ["place", "completeness", "statement", "read_on"]
        order_by = "place"
        empty_text = "No place here. Write a profile of your own from what your authority tells you."

    caption = "Places and the home-kitchen law that was read for them"

    def render_completeness(self, record: PlaceProfile) -> SafeString:
        return format_html(
            '<span class="status {}">{}</span>',
            TONES[record.completeness],
            record.get_completeness_display(),
        )

    def render_statement(self, value: str) -> str:
        words = {
            "exact": "fixed words",
            "content": "content, in your words",
            "recommended": "advised",
            "none": "none",
            "unknown": "not read",
        }
        return words.get(value, value)


class CheckTable(tables.Table):
    product = tables.Column(
        accessor="subject",
        verbose_name="Label",
        linkify=lambda record: record["address"],
    )
    state = tables.Column(verbose_name="Found", empty_values=())
    summary = tables.Column(verbose_name="In short")

    class Meta:
        orderable = False
        empty_text = (
            "No product yet. Add one in the recipes, and its label is checked here."
        )

    caption = "Labels, each on its newest batch"

    def render_state(self, record: dict[str, object]) -> SafeString:
        return format_html(
            '<span class="status {}">{}</span>', record["tone"], record["state"]
        )
