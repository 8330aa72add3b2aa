"""Tables of the complaints pages."""

import django_tables2 as tables
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from inventory.tables.columns import DAY_CELL
from inventory.words import say
from production.models import Complaint, MockRecall, StopSale
from production.symptoms import Severity, find_symptom

NUMBER = {"th": {"class": "number"}, "td": {"class": "number"}}
TONES = {Severity.STOP: "bad", Severity.LOOK: "warn", Severity.QUALITY: ""}


class ComplaintTable(tables.Table):
    received_at = tables.DateColumn(
        attrs=DAY_CELL, verbose_name=_("Told"), format="j M Y", linkify=True
    )
    symptom = tables.Column(verbose_name=_("What is wrong"))
    batch = tables.Column(accessor="batch__code", verbose_name=_("Batch"))
    product = tables.Column()
    severity = tables.Column(verbose_name=_("Grade"))
    closed_at = tables.DateColumn(
        attrs=DAY_CELL, verbose_name=_("Closed"), format="j M Y", default=_("open")
    )

    class Meta:
        model = Complaint
        fields = ["received_at", "symptom", "batch", "product", "severity", "closed_at"]
        order_by = "-received_at"
        empty_text = _("No complaint written down. May it stay so.")

    caption = _("Complaints, the newest first")

    def render_symptom(self, value: str) -> str:
        return say(find_symptom(value).name)

    def render_severity(self, value: str) -> SafeString:
        grade = Severity(value)
        return format_html(
            '<span class="status {}">{}</span>', TONES[grade], grade.words
        )


class StopSaleTable(tables.Table):
    set_at = tables.DateColumn(
        attrs=DAY_CELL, verbose_name=_("Stopped"), format="j M Y", linkify=True
    )
    reason = tables.Column()
    jars = tables.Column(accessor="lot_count", verbose_name=_("Lots"), attrs=NUMBER)
    lifted_at = tables.DateColumn(
        attrs=DAY_CELL, verbose_name=_("Lifted"), format="j M Y", default=_("standing")
    )

    class Meta:
        model = StopSale
        fields = ["set_at", "reason", "jars", "lifted_at"]
        order_by = "-set_at"
        empty_text = _("No sale was ever stopped.")

    caption = _("Stop-sales")


class DrillTable(tables.Table):
    started_at = tables.DateColumn(
        attrs=DAY_CELL, verbose_name=_("Day"), format="j M Y", linkify=True
    )
    batch = tables.Column(accessor="batch__code", verbose_name=_("Batch"))
    minutes = tables.Column(
        accessor="result__seconds",
        verbose_name=_("Minutes"),
        attrs=NUMBER,
        orderable=False,
    )
    made = tables.Column(verbose_name=_("Jars made"), attrs=NUMBER)
    found = tables.Column(verbose_name=_("Found"), attrs=NUMBER)
    share = tables.Column(
        accessor="accounted_fraction",
        verbose_name=_("Accounted (%)"),
        attrs=NUMBER,
        orderable=False,
    )

    class Meta:
        model = MockRecall
        fields = ["started_at", "batch", "minutes", "made", "found", "share"]
        order_by = "-started_at"
        empty_text = _("No drill yet. Run one before the season, at least once a year.")

    caption = _("Drills, the newest first")

    def render_minutes(self, value: int) -> str:
        return f"{value / 60:.1f}"

    def render_share(self, value: float) -> str:
        return f"{100 * value:.2f}"
