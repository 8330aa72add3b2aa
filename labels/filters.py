"""Filters of the label lists."""

import django_filters

from labels.models import PlaceProfile


class PlaceFilter(django_filters.FilterSet):
    place = django_filters.CharFilter(lookup_expr="icontains", label="Place")
    completeness = django_filters.ChoiceFilter(
        choices=PlaceProfile.Completeness.choices,
        label="How much was read",
        empty_label="any",
    )

    class Meta:
        model = PlaceProfile
        fields = ["place", "completeness"]
