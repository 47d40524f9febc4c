"""The sections that explain: verdicts, cautions, glossary. They say the same on every page."""

from pipeline.report.cautions import CAUTIONS
from pipeline.report.context import Context
from pipeline.report.glossary import GLOSSARY
from pipeline.report.sections.part import Part
from pipeline.report.verdicts import VERDICTS, verdict_id


def verdict_words(context: Context) -> Part:
    """What each verdict means and what it does not."""
    return Part(
        {
            "verdicts": [(verdict_id(one.word), one) for one in VERDICTS],
            "level": f"{100 * context.head.level:g}",
        }
    )


def cautions(_: Context) -> Part:
    """What can do harm, and who decides instead of this page."""
    return Part({"cautions": CAUTIONS})


def glossary(_: Context) -> Part:
    """The words of statistics and genetics that the page cannot do without."""
    return Part({"words": GLOSSARY})
