"""Shares as sentences say them; labels alone have '66% het', as the trade writes it."""


def in_percent(share: float) -> str:
    """A share in whole percent, '6 %'; within one percent of none or all as `percent` says it."""
    return percent(share) if 0 < share < 0.01 or 0.99 < share < 1 else f"{100 * share:.0f} %"


def halved(share: float) -> str:
    """A share with the decimals that halves of halves need, as inbreeding is: '25 %', '12.5 %', '31.25 %'."""
    return f"{100 * share:.4g} %"


def signed(change: float) -> str:
    """A change as a share of what it was: '+12 %', '-3 %', '0 %'."""
    text = f"{100 * change:+.0f} %"
    return "0 %" if text in ("+0 %", "-0 %") else text


def percent(share: float) -> str:
    """A share as a keeper reads it: '6 %', '0.4 %', '99.6 %', never 0 % or 100 % of what is not certain."""
    if 0 < share < 0.001:
        return "under 0.1 %"
    if 0.9995 <= share < 1 - 1e-9:
        return "over 99.9 %"
    fine = share < 0.1 or 0.99 < share < 1 - 1e-9
    text = f"{100 * share:.1f}" if fine else f"{100 * share:.0f}"
    return f"{text.removesuffix('.0')} %"
