"""What each morph is offered and sold for, and whether that rises or falls."""

from pipeline.findings.prices.answer import PriceFindings, price_findings

__all__ = ["PriceFindings", "price_findings"]
