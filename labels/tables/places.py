"""Tables of the places and the label checks."""

import django_tables2 as tables
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from inventory.tables.columns import DayColumn
from inventory.words import say
from labels.models import PlaceProfile

TONES = {"ready": "good", "partial": "warn", "outline": "bad", "own": "good"}


class PlaceTable(tables.Table):
    place = tables.Column(linkify=True)
    completeness = tables.Column(verbose_name=_("Read"))
    statement = tables.Column(
        accessor="body__statement_basis", verbose_name=_("Statement"), orderable=False
    )
    read_on = DayColumn(verbose_name=_("Read on"))

    class Meta:
        model = PlaceProfile
        fields = ["place", "completeness", "statement", "read_on"]
        order_by = "place"
        empty_text = _(
            "No place here. Write a profile of your own from what your "
            "authority tells you."
        )

    caption = _("Places and the home-kitchen law that was read for them")

    def render_completeness(self, record: PlaceProfile) -> SafeString:
        return format_html(
            '<span class="status {}">{}</span>',
            TONES[record.completeness],
            record.get_completeness_display(),
        )

    def render_statement(self, value: str) -> str:
        words = {
            "exact": say("fixed words"),
            "content": say("content, in your words"),
            "recommended": say("advised"),
            "none": say("none"),
            "unknown": say("not read"),
        }
        return words.get(value, value)


class CheckTable(tables.Table):
    product = tables.Column(
        accessor="subject",
        verbose_name=_("Label"),
        linkify=lambda record: record["address"],
    )
    state = tables.Column(verbose_name=_("Found"), empty_values=())
    summary = tables.Column(verbose_name=_("In short"))

    class Meta:
        orderable = False
        empty_text = _(
            "No product yet. Add one in the recipes, and its label is checked here."
        )

    caption = _("Labels, each on its newest batch")

    def render_state(self, record: dict[str, object]) -> SafeString:
        return format_html(
            '<span class="status {}">{}</span>', record["tone"], record["state"]
        )
