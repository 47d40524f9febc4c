"""What each morph is offered and sold for, whether that rises or falls, and what its genes are worth."""

from pipeline.findings.prices.answer import PriceFindings, PriceModels, price_findings
from pipeline.findings.prices.label_prices import label_prices
from pipeline.findings.prices.model import PriceModel, Setting
from pipeline.findings.prices.pricing import Price, prices_of
from pipeline.findings.prices.season_value import season_value
from pipeline.findings.prices.worth import LabelPrices, Worth

__all__ = [
    "LabelPrices",
    "Price",
    "PriceFindings",
    "PriceModel",
    "PriceModels",
    "Setting",
    "Worth",
    "label_prices",
    "price_findings",
    "prices_of",
    "season_value",
]
