"""Invented findings of any size, for the tests of the page and the findings workbook."""

from datetime import date

import numpy as np
import pandas as pd

from pipeline.report.head import PageHead

HEAD = PageHead(books=("invented.xlsx",), as_of=date(2026, 5, 3), season=2026, keeper="A. Keeper")
BOOK = "invented.xlsx"
_CLASSES = ("normal", "Motley", "Albino", "Motley Albino")


def findings(
    pairings: int = 6, animals: int = 8, *, seasons: int = 2, seed: int = 1
) -> dict[str, pd.DataFrame]:
    """Findings of every kind; the first pairing is impossible, the second departs, the third is strained."""
    rng = np.random.default_rng(seed)
    names = [f"P{number:03d}" for number in range(1, pairings + 1)]
    tests, classes = [], []
    for number, name in enumerate(names):
        for scope, clutch, gene in _asked():
            tests.append(_test(number, name, scope, clutch, gene, rng))
            classes += _class_rows(number, name, scope, clutch, gene, rng)
    return {
        "problems": _problems(),
        "ratio_tests": pd.DataFrame(tests),
        "ratio_classes": pd.DataFrame(classes),
        "ratio_parts": _parts(),
        "calendar": _calendar(names, seasons),
        "season_summary": _summary(seasons),
        "sex_ratios": _sexes(),
        "carrier_odds": carrier_odds(),
        "inbreeding": _inbreeding(),
        "kinship": _kinship(),
        "growth": _growth(animals, rng),
        "price_trends": _prices(),
        "record_places": _places(names, animals),
    }


def _places(names, animals):
    """Pairings and animals one row each, young four rows a pairing, all of one species."""
    rows = [("pairing", name, "Pairings", at, at, 1) for at, name in enumerate(names, start=2)]
    rows += [
        ("young", name, "Hatch results", 4 * at, 4 * at + 3, 4) for at, name in enumerate(names, start=1)
    ]
    rows += [("animal", f"A{at:03d}", "Animals", at + 1, at + 1, 1) for at in range(1, animals + 1)]
    frame = pd.DataFrame(rows, columns=["kind", "id", "sheet", "first_row", "last_row", "records"])
    return frame.assign(book=BOOK, species="Corn snake")


def _asked():
    return [
        ("pairing", None, None),
        ("clutch", 1, None),
        ("clutch", 2, None),
        ("pairing", None, "Albino"),
        ("pairing", None, "Motley"),
    ]


def _test(number, name, scope, clutch, gene, rng):
    verdict = (
        ("impossible", "departs", "strained")[number] if number < 3 else ("fits", "too few")[number % 5 == 4]
    )
    p = (0.0, 0.00004, 0.03)[number] if number < 3 else float(rng.uniform(0.1, 1))
    return {
        "book": BOOK, "species": "Corn snake", "scope": scope, "pairing": name, "clutch": clutch, "gene": gene,
        "n": 24, "chi_square": 3.2, "df": 3, "p_chi_square": p, "p_exact": None, "method": "chi-square", "p": p,
        "q": min(1.0, p * 3), "verdict": verdict, "expected": "9:3:3:1", "resolution": None,
        "impossible_young": 2 if verdict == "impossible" else 0, "young_to_settle": 12, "meaning": None,
    }  # fmt: skip


def _class_rows(number, name, scope, clutch, gene, rng):
    expected = (13.5, 4.5, 4.5, 0.0 if number == 0 else 1.5)
    for one, mean in zip(_CLASSES, expected, strict=True):
        yield {
            "book": BOOK, "species": "Corn snake", "scope": scope, "pairing": name, "clutch": clutch, "gene": gene,
            "class": one, "observed": float(rng.poisson(mean)) if mean else 2.0, "expected": mean,
            "low": max(0.0, mean - 4), "high": mean + 4 if mean else 0.0,
        }  # fmt: skip


def _problems():
    rows = [
        (
            "error",
            "Animals",
            "F12",
            "het Amelanism",
            "No gene or morph of Corn snake is called 'Amelanism'.",
            "Albino",
        ),
        ("warning", "Weights", "C88", "85", "A tenth of the weighings around it.", "Was it 850 g?"),
        ("note", "Notes", "row 1", "", "The sheet is not one of ours and was left alone.", ""),
    ]
    return pd.DataFrame(rows, columns=["severity", "sheet", "cell", "value", "message", "hint"]).assign(
        book=BOOK
    )


def _parts():
    row = {
        "book": BOOK, "species": "Corn snake", "pairing": "P002", "part": "linkage", "gene": "Albino",
        "other_gene": "Motley", "chi_square": 12.1, "df": 1, "p": 0.0005, "recombination": 0.12,
        "recombination_low": 0.05, "recombination_high": 0.24, "phase": "repulsion",
    }  # fmt: skip
    return pd.DataFrame([row])


def _calendar(names, seasons):
    rows = [
        {
            "book": BOOK, "species": "Corn snake", "season": 2026 - (number % seasons if number >= 3 else 0),
            "pairing": name, "dam": f"D{number}", "due_on": pd.Timestamp(2026, 6, 1), "born_on": pd.NaT,
            "rested_on": pd.Timestamp(2027, 2, 1),
        }
        for number, name in enumerate(names)
    ]  # fmt: skip
    return pd.DataFrame(rows)


def _summary(seasons):
    rows = [
        {
            "book": BOOK, "season": 2026 - back, "species": "Corn snake", "pairings": 5, "clutches": 6,
            "eggs_or_young": 100, "live": 80, "stillborn": 2, "died_in_egg": 8, "slugs": 10, "success": 0.8,
            "success_low": 0.711, "success_high": 0.867,
        }
        for back in range(seasons)
    ]  # fmt: skip
    return pd.DataFrame(rows)


def _sexes():
    rows = [
        ("species", None, None, 60, 40, 0.057, 0.114, "fits"),
        ("pairing", "P001", None, 10, 2, 0.039, 0.114, "strained"),
    ]
    columns = ["scope", "pairing", "clutch", "males", "females", "p", "q", "verdict"]
    return pd.DataFrame(rows, columns=columns).assign(book=BOOK, species="Corn snake")


def _growth(animals, rng):
    rows = [
        {
            "book": BOOK, "species": "Corn snake", "animal": f"A{number:03d}", "sex": "FM"[number % 2],
            "curve": "Gompertz", "n": 9, "latest_g": float(rng.integers(90, 500)),
            "latest_on": pd.Timestamp(2026, 4, 1), "target_g": 350.0,
            "ready_on": pd.Timestamp(2026, 9, 1) + pd.Timedelta(days=number), "ready_early": pd.Timestamp(2026, 8, 1),
            "ready_late": pd.NaT if number % 3 == 0 else pd.Timestamp(2027, 1, 1), "p_ready": float(rng.uniform()),
            "blocked_by": "weight", "asymptote_g": 600.0, "asymptote_low": 500.0, "asymptote_high": 700.0, "note": None,
        }
        for number in range(animals)
    ]  # fmt: skip
    return pd.DataFrame(rows)


def _prices():
    moves = (
        ("Albino", -0.12, 0.003, "falling"),
        ("Motley", 0.08, 0.04, "rising"),
        ("Hypo", None, None, "too few"),
    )
    rows = [
        {
            "book": BOOK, "species": "Corn snake", "morph": morph, "currency": "USD", "kind": "asked", "n": 30,
            "first_on": pd.Timestamp(2021, 1, 1), "last_on": pd.Timestamp(2026, 4, 1), "typical": 120.0, "low": 80.0,
            "high": 1900.0, "change_per_year": change, "change_low": change and change - 0.05,
            "change_high": change and change + 0.05, "p": p, "direction": direction,
        }
        for morph, change, p, direction in moves
    ]  # fmt: skip
    return pd.DataFrame(rows)


def carrier_odds():
    """An open het, one overclaimed, one proved, one shown, one unlikely, one ruled out, one sold, one too tangled."""
    rows = [
        ("A001", "keeping", 0.67, 0.66, 0.0, "66% het", "66% het", "fair", "open"),
        ("A002", "for sale", 0.95, 0.12, 0.0, "", "100% het", "too much", "open"),
        ("A003", "keeping", 0.95, 0.999, 0.0, "100% het", "100% het", "fair", "proved"),
        ("A004", "keeping", 0.95, 0.0, 0.95, "Albino", "Albino", "fair", "open"),
        ("A005", "keeping", 0.01, 0.04, 0.0, "", "", "fair", "open"),
        ("A006", "keeping", 0.5, 0.001, 0.0, "", "", "fair", "ruled out"),
        ("A007", "keeping", 0.01, 0.001, 0.0, "", "", "fair", "ruled out"),
        ("A008", "sold", 0.67, 0.66, 0.0, "66% het", "66% het", "fair", "open"),
        ("A009", "keeping", 0.67, None, None, "", "66% het", "", "open"),
    ]
    names = ["animal", "status", "from_ancestors", "p_one", "p_two", "label", "book_label", "says", "settled"]
    frame = pd.DataFrame(rows, columns=names).assign(
        book=BOOK, species="Corn snake", gene="Albino", young_scored=3
    )
    hidden = frame["animal"].isin(["A001", "A002", "A005", "A008"])
    young = {"on_visual_95": 6, "on_visual_99": 8, "on_het_95": 13, "on_het_99": 19}
    return frame.assign(
        p_none=1 - frame["p_one"] - frame["p_two"],
        method=["exact"] * 8 + ["too tangled"],
        **{
            name: pd.Series(number, index=frame.index).where(hidden).astype("Int64")
            for name, number in young.items()
        },
    )


def _inbreeding():
    rows = [("A001", "keeping", 0.25, True), ("A002", "sold", 0.375, True), ("A003", "keeping", 0.0, False)]
    frame = pd.DataFrame(rows, columns=["animal", "status", "f", "over_limit"])
    return frame.assign(
        book=BOOK, species="Corn snake", dam="D1", sire="S1", generations_known=2.0, common_ancestors="S0 12.5 %, D0 12.5 %"
    )  # fmt: skip


def _kinship():
    rows = [("A001", "A003", 0.25, True), ("A001", "S1", 0.0625, False)]
    frame = pd.DataFrame(rows, columns=["dam", "sire", "f_young", "over_limit"])
    return frame.assign(book=BOOK, species="Corn snake", generations_known=1.5, common_ancestors="S0 12.5 %")
