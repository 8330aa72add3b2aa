"""Filters of the lists."""

from collections.abc import Iterator
from typing import Any

import django_filters
from django import forms
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django_filters.fields import ModelChoiceField, ModelChoiceIterator

from inventory.models import (
    ConsignmentVisit,
    Lot,
    MarketDay,
    Material,
    Movement,
    Outlet,
    OutletKind,
    Purchase,
    Supplier,
)
from inventory.models.materials import MaterialQuerySet
from inventory.models.stock import LotQuerySet

OFFERED = 200
"""Names offered to choose from; a page of more is no help to anybody, and slow."""


class FirstChoices(ModelChoiceIterator):
    """The first names of a table, and where to look for the others."""

    def __init__(self, field: Any) -> None:
        super().__init__(field)
        self.queryset: Any = field.queryset[: OFFERED + 1]

    def __iter__(self) -> Iterator[tuple[Any, Any]]:
        choices = list(super().__iter__())
        most = OFFERED + (self.field.empty_label is not None)
        yield from choices[:most]
        if len(choices) > most:
            yield "", _("… more: look on their own page")


class FirstChoicesField(ModelChoiceField):
    iterator = FirstChoices


class OneOfFilter(django_filters.ModelChoiceFilter):
    """A choice among the rows of another table, however many it has."""

    field_class = FirstChoicesField


DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class MaterialFilter(django_filters.FilterSet):
    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))
    kind = django_filters.ChoiceFilter(
        choices=Material.Kind.choices, label=_("Kind"), empty_label=_("all")
    )
    season = django_filters.ChoiceFilter(
        choices=[("now", _("in season now"))],
        method="in_season",
        label=_("Season"),
        empty_label=_("any time"),
    )

    class Meta:
        model = Material
        fields = ("name", "kind")

    def in_season(
        self, materials: MaterialQuerySet, _name: str, _value: Any
    ) -> MaterialQuerySet:
        return materials.in_season(on=timezone.localdate())


class LotFilter(django_filters.FilterSet):
    """Lots at home unless asked for more, also before anything is asked."""

    find = django_filters.CharFilter(method="find_text", label=_("Code, name or mark"))
    kind = django_filters.ChoiceFilter(
        choices=[*Material.Kind.choices, ("jars", _("filled jars"))],
        method="of_kind",
        label=_("Kind"),
        empty_label=_("everything"),
    )
    here = django_filters.ChoiceFilter(
        choices=[("all", _("also used-up lots"))],
        method="or_all",
        label=_("Stock"),
        empty_label=_("at home now"),
    )

    class Meta:
        model = Lot
        fields = ()

    def __init__(self, data: Any = None, *args: Any, **kwargs: Any) -> None:
        super().__init__({} if data is None else data, *args, **kwargs)

    def find_text(self, lots: QuerySet[Lot], _name: str, text: str) -> QuerySet[Lot]:
        return lots.filter(
            Q(code__icontains=text)
            | Q(supplier_mark__icontains=text)
            | Q(material__name__icontains=text)
            | Q(product__name__icontains=text)
        )

    def of_kind(self, lots: QuerySet[Lot], _name: str, kind: str) -> QuerySet[Lot]:
        if kind == "jars":
            return lots.filter(product__isnull=False)
        return lots.filter(material__kind=kind)

    def or_all(self, lots: QuerySet[Lot], _name: str, _value: str) -> QuerySet[Lot]:
        return lots

    def filter_queryset(self, queryset: LotQuerySet) -> LotQuerySet:
        lots: LotQuerySet = super().filter_queryset(queryset)
        if self.form.cleaned_data.get("here") == "all":
            return lots
        return lots.on_hand()


class MovementFilter(django_filters.FilterSet):
    find = django_filters.CharFilter(method="find_text", label=_("Code or name"))
    reason = django_filters.ChoiceFilter(
        choices=Movement.Reason.choices, empty_label=_("all")
    )
    place = OneOfFilter(queryset=Outlet.objects.all(), empty_label=_("everywhere"))
    since = django_filters.DateFilter(
        "on", lookup_expr="gte", widget=DAY, label=_("Since")
    )
    until = django_filters.DateFilter(
        "on", lookup_expr="lte", widget=DAY, label=_("Until")
    )

    class Meta:
        model = Movement
        fields = ("reason", "place")

    def find_text(
        self, rows: QuerySet[Movement], _name: str, text: str
    ) -> QuerySet[Movement]:
        return rows.filter(
            Q(lot__code__icontains=text)
            | Q(lot__material__name__icontains=text)
            | Q(lot__product__name__icontains=text)
        )


class PurchaseFilter(django_filters.FilterSet):
    supplier = OneOfFilter(queryset=Supplier.objects.all(), empty_label=_("all"))
    since = django_filters.DateFilter(
        "bought_on", lookup_expr="gte", widget=DAY, label=_("Since")
    )
    until = django_filters.DateFilter(
        "bought_on", lookup_expr="lte", widget=DAY, label=_("Until")
    )

    class Meta:
        model = Purchase
        fields = ("supplier",)


class DayFilter(django_filters.FilterSet):
    outlet = OneOfFilter(queryset=Outlet.objects.all(), empty_label=_("all"))
    status = django_filters.ChoiceFilter(
        choices=MarketDay.Status.choices, empty_label=_("all")
    )
    since = django_filters.DateFilter(
        "on", lookup_expr="gte", widget=DAY, label=_("Since")
    )
    until = django_filters.DateFilter(
        "on", lookup_expr="lte", widget=DAY, label=_("Until")
    )

    class Meta:
        model = MarketDay
        fields = ("outlet", "status")


class OutletFilter(django_filters.FilterSet):
    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))
    kind = django_filters.ChoiceFilter(choices=OutletKind.choices, empty_label=_("all"))

    class Meta:
        model = Outlet
        fields = ("name", "kind")


class VisitFilter(django_filters.FilterSet):
    outlet = OneOfFilter(
        queryset=Outlet.objects.filter(
            kind__in=[OutletKind.CONSIGNMENT, OutletKind.WHOLESALE]
        ),
        label=_("Shop"),
        empty_label=_("all"),
    )
    paid = django_filters.ChoiceFilter(
        choices=[("no", _("not paid yet")), ("yes", _("paid"))],
        method="by_payment",
        label=_("Payment"),
        empty_label=_("all"),
    )

    class Meta:
        model = ConsignmentVisit
        fields = ("outlet",)

    def by_payment(
        self, visits: QuerySet[ConsignmentVisit], _name: str, value: str
    ) -> QuerySet[ConsignmentVisit]:
        return visits.filter(paid_on__isnull=value == "no")
