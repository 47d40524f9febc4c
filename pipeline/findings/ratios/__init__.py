"""Do the young fit the labels? Observed against expected classes, by clutch, pairing and gene.

In the order it happens (run.py): readings, what was seen; nulls, resolutions and distributions, what should be;
questions, what is asked; answers, with the mathematics in testing and multinomial; pooling by gene; heterogeneity of
clutches; partition into genes and linkage, with interaction and linkage behind it; verdicts; frames, which writes all of
it down in words, parent_words and meanings.
"""

from pipeline.findings.ratios.run import RatioFindings, ratio_findings

__all__ = ["RatioFindings", "ratio_findings"]
