"""Filters of the label lists."""

import django_filters
from django.utils.translation import gettext_lazy as _

from labels.models import PlaceProfile


class PlaceFilter(django_filters.FilterSet):
    place = django_filters.CharFilter(lookup_expr="icontains", label=_("Place"))
    completeness = django_filters.ChoiceFilter(
        choices=PlaceProfile.Completeness.choices,
        label=_("How much was read"),
        empty_label=_("any"),
    )

    class Meta:
        model = PlaceProfile
        fields = ["place", "completeness"]
