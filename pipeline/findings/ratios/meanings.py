"""One plain sentence or two on each verdict: what it means, and what it does not."""

from pipeline.findings.ratios.answers import Answer
from pipeline.findings.ratios.questions import Scope
from pipeline.findings.ratios.verdicts import Judged, Verdict


def meaning(judged: Judged, impossible: str) -> str:
    """The verdict in plain words; `impossible` names the classes that came and can't be."""
    text = _sentence(judged, impossible)
    if judged.verdict is Verdict.TOO_FEW:
        text += f" At least {judged.more:,} more would be needed."
    elif judged.more and judged.verdict is Verdict.FITS and len(judged.answer.open) > 1:
        text += f" The labels leave room: some {judged.more:,} more young should tell which reading holds."
    return text + _left_out(judged.answer)


def _sentence(judged: Judged, impossible: str) -> str:
    answer, family = judged.answer, judged.family
    n, p, q = answer.question.n, answer.p, judged.q or 0.0
    if judged.verdict is Verdict.IMPOSSIBLE:
        rest = f" The other young: p {_p(p)}." if p is not None else ""
        return (
            f"{answer.impossible_young} of {n} young ({impossible}) can't be if the records are right: a label, a parent, "
            f"a reading or a gene's record is wrong, and this test can't say which.{rest}"
        )
    if judged.verdict is Verdict.DEPARTS and answer.unexplained:
        return (
            "No single way to fill what the labels leave open explains all young, though each class fits one of them. "
            "A clutch of two fathers could look like this, or a record is wrong; this test can't say which."
        )
    if judged.verdict is Verdict.DEPARTS:
        return (
            f"So far off (p {_p(p)}) that chance is a poor excuse even among {family} tests (q {_p(q)}). "
            "Records and young disagree; this test can't say which record is wrong."
        )
    if judged.verdict is Verdict.STRAINED:
        return (
            f"Further off than chance makes most (p {_p(p)}), but of {family} tests some are (q {_p(q)}): "
            "worth watching, no proof of a fault."
        )
    if judged.verdict is Verdict.TOO_FEW:
        return f"Too few to tell: even the most extreme outcome of {n} young would prove nothing, so this is no fit either."
    return f"Fits what the labels say (p {_p(p)}). A fit is no proof: with {n} young other ratios may fit as well."


def _left_out(answer: Answer) -> str:
    question = answer.question
    if question.scope is not Scope.GENE or not question.left_out:
        return ""
    return (
        f" {question.left_out} young of pairings whose labels leave more than one ratio are left out here: sorting them by "
        "the ratio they fit would bias the pool."
    )


def _p(value: float | None) -> str:
    value = 1.0 if value is None else value
    return "under 0.0001" if value < 0.0001 else f"{value:.2g}"
