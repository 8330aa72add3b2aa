"""Money: rounded in one place, shared out without losing a cent, written for people.

Sums stay unrounded ``Decimal`` until they are charged or shown; then half-up to the
currency's smallest coin. How many digits a currency has, and how a place writes it,
comes from the Unicode Common Locale Data Repository through Babel.
"""

from collections.abc import Sequence
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal

from babel import UnknownLocaleError
from babel.numbers import format_currency, get_currency_precision, is_currency

from inventory.words import local, say

__all__ = ["MoneyError", "allocate", "format_money", "round_money", "smallest_coin"]

DEFAULT_CURRENCY = "USD"
DEFAULT_LOCALE = "en_US"


class MoneyError(ValueError):
    """An amount cannot be rounded, shared or written."""


def smallest_coin(currency: str = DEFAULT_CURRENCY) -> Decimal:
    """The currency's minor unit: 0.01 for USD, 1 for JPY.

    Args:
        currency: ISO 4217 code.

    Raises:
        MoneyError: no such currency.
    """
    if not is_currency(currency):
        raise MoneyError(
            say(
                '"{currency}" is not a currency; use a code such as USD or EUR',
                currency=currency,
            )
        )
    return Decimal(1).scaleb(-get_currency_precision(currency))


def round_money(value: Decimal, *, currency: str = DEFAULT_CURRENCY) -> Decimal:
    """Round half away from zero to the smallest coin.

    Args:
        value: an unrounded amount.
        currency: ISO 4217 code.

    Returns:
        The amount with exactly the currency's digits; 2.675 becomes 2.68.

    Raises:
        MoneyError: the value is not a number, or no such currency.
    """
    if not value.is_finite():
        raise MoneyError(say("{value} is not an amount of money", value=value))
    rounded = value.quantize(smallest_coin(currency), ROUND_HALF_UP)
    return rounded or abs(rounded)


def allocate(
    total: Decimal, weights: Sequence[Decimal], *, currency: str = DEFAULT_CURRENCY
) -> tuple[Decimal, ...]:
    """Share a total by weight so that the shares add up to it exactly.

    Largest remainder: every share is first cut down to whole coins, then the
    coins left over go one by one to the largest cut-off parts; of equal parts
    the earlier takes the coin.

    Args:
        total: what to share, in whole coins; below zero for a refund.
        weights: one per share, none below zero, not all zero.
        currency: ISO 4217 code.

    Returns:
        One share per weight, in the order of the weights.

    Raises:
        MoneyError: the total has broken coins, or the weights share nothing.
    """
    coin = smallest_coin(currency)
    coins = total / coin
    if not total.is_finite() or coins != coins.to_integral_value():
        raise MoneyError(
            say("{total} is not a whole number of coins; round it first", total=total)
        )
    whole = sum(weights, Decimal(0))
    if not weights or whole <= 0 or min(weights) < 0:
        raise MoneyError(say("give at least one weight above zero and none below"))
    exact = [abs(coins) * weight / whole for weight in weights]
    shares = [share.to_integral_value(ROUND_DOWN) for share in exact]
    left = int(abs(coins) - sum(shares))
    by_remainder = sorted(
        range(len(weights)), key=lambda place: (shares[place] - exact[place], place)
    )
    for place in by_remainder[:left]:
        shares[place] += 1
    sign = -1 if total < 0 else 1
    return tuple((sign * share * coin).quantize(coin) for share in shares)


def format_money(
    value: Decimal, currency: str = DEFAULT_CURRENCY, locale: str = DEFAULT_LOCALE
) -> str:
    """Write an amount as the place writes it: "$1,234.50", "1.234,50 €".

    Raises:
        MoneyError: no such currency or locale.
    """
    rounded = round_money(value, currency=currency)
    try:
        return str(
            format_currency(rounded, currency, locale=local(locale.replace("-", "_")))
        )
    except (UnknownLocaleError, ValueError) as error:
        raise MoneyError(
            say('"{locale}" is not a locale; use one such as en_US', locale=locale)
        ) from error
