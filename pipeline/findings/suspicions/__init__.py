"""Which record is likely wrong: suspicions by cause, with evidence and what to do next.

counts      what the young of a clutch look like, in numbers and words
explain     subject, record, likelier truth, rival explanations
evidence    the counts behind a suspicion
stable      the animals that a test can be bred from
sizes       how many young settle a test
gene_steps  what would settle that a gene record is wrong
next_steps  the test cross that would settle it
undecided   pairs whose records share the blame
run         the tables
The inference itself is pipeline/genetics/suspicions.
"""

from pipeline.findings.suspicions.run import SuspicionFindings, suspicion_findings

__all__ = ["SuspicionFindings", "suspicion_findings"]
