"""Do the young fit the labels? Observed against expected classes, by clutch, pairing and gene.

readings (what was seen) → nulls, resolutions, distributions (what should be) → questions → answers (testing,
multinomial) → pooling, heterogeneity, partition with linkage → verdicts → frames, in words and meanings.
"""

from pipeline.findings.ratios.run import RatioFindings, ratio_findings

__all__ = ["RatioFindings", "ratio_findings"]
