"""Filters of the production lists."""

import django_filters

from production.models import Batch, Recipe


class BatchFilter(django_filters.FilterSet):
    code = django_filters.CharFilter(lookup_expr="icontains", label="Batch code")
    recipe = django_filters.ModelChoiceFilter(
        field_name="version__recipe", queryset=Recipe.objects.all(), label="Recipe"
    )

    class Meta:
        model = Batch
        fields = ["status", "recipe", "code"]
