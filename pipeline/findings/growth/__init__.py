"""Who is growing toward breeding size, and when: curves through the weighings, and dates with their intervals."""

from pipeline.findings.growth.answer import GrowthFindings, growth_findings

__all__ = ["GrowthFindings", "growth_findings"]
