"""Spanish where a point parts the decimals: the United States and its neighbours.

Source: Unicode Common Locale Data Repository, es_US. Names of days and months are
those of Spanish; only the signs in figures differ.
"""

DECIMAL_SEPARATOR = "."
THOUSAND_SEPARATOR = ","
NUMBER_GROUPING = 3
