"""The sections of the page, in reading order. A new question costs one module here and one line in `SECTIONS`.

A section is a module with one function, named like it, from the page's context to a `Part`, and a template of the same
name. It picks, counts and words what the findings say; it computes nothing.
"""

from pipeline.report.sections.books import books
from pipeline.report.sections.carriers import carriers
from pipeline.report.sections.changes import changes
from pipeline.report.sections.growth import growth
from pipeline.report.sections.kin import kin
from pipeline.report.sections.part import Section
from pipeline.report.sections.plan import plan
from pipeline.report.sections.prices import prices
from pipeline.report.sections.problems import problems
from pipeline.report.sections.ratios import ratios
from pipeline.report.sections.reading import cautions, glossary, verdict_words
from pipeline.report.sections.records import records
from pipeline.report.sections.routes import routes
from pipeline.report.sections.seasons import calendar, seasons, sexes
from pipeline.report.sections.suspicions import suspicions
from pipeline.report.sections.worth import worth

SECTIONS: tuple[Section, ...] = (
    Section("books", "Books", "What was found in each book?", books, club=True),
    Section("changes", "Changes", "What changed since the last run?", changes),
    Section("suspicions", "Suspicions", "Which record is likely wrong?", suspicions),
    Section("ratios", "Ratios", "Do the young fit the labels?", ratios),
    Section("carriers", "Carriers", "Who carries what?", carriers),
    Section("kin", "Kin", "Who is kin to whom?", kin),
    Section("growth", "Growth", "Who is growing toward breeding size?", growth),
    Section("prices", "Prices", "What do prices do?", prices),
    Section("worth", "Worth", "What are genes and the season's young worth?", worth),
    Section("plan", "Plan", "What to pair next season?", plan),
    Section("routes", "Goals", "The way to the goals", routes),
    Section("seasons", "Seasons", "How did the seasons go?", seasons),
    Section("calendar", "Calendar", "What is due, and who has rested?", calendar),
    Section("sexes", "Sexes", "Males and females", sexes),
    Section("problems", "Problems", "What to mend in the book", problems),
    Section("records", "Records", "Where does each record stand?", records),
    Section("verdicts", "Verdicts", "How to read a verdict", verdict_words),
    Section("cautions", "Cautions", "Before you act on this", cautions),
    Section("glossary", "Words", "The few statistical words", glossary),
)
