"""Shares as sentences say them; labels alone have '66% het', as the trade writes it."""


def in_percent(share: float, form: str = ".0%") -> str:
    """'6 %', with form '+.0%' '+12 %'."""
    return f"{share:{form}}".replace("%", " %")
