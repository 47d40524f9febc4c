"""The words of a list as keepers vary them, and the nearest known word to one that is not known."""

from collections.abc import Iterable
from functools import cache

from pipeline.workbook.cells import BLANKS, CellFault, text

_ALSO = {
    "M": "male males ♂ 1.0 man",
    "F": "female females ♀ 0.1",
    "yes": "y true x",
    "no": "n false",
    "eggs": "egg, egg-laying, egg layer, egg-layer, oviparous, clutch",
    "live": "alive, livebearing, live-bearing, live-bearer, live born, live-born, live birth, viviparous, ovoviviparous, hatched, born",
    "XY": "xx/xy, xx-xy",
    "ZW": "zz/zw, zz-zw",
    "recessive": "rec, simple recessive",
    "incomplete dominant": "inc dom, inc. dom, incomplete dom, incompletely dominant, co-dominant, codominant, co-dom, codom",
    "dominant": "dom",
    "line-bred": "line bred, linebred, polygenic, selectively bred",
    "lethal": "deadly, super lethal",
    "birth": "at birth, hatching, at hatching",
    "later": "late, with age",
    "proved": "proven, proved out, proven out, bred and proved",
    "bred here": "own, bred by me, home bred, homebred",
    "seller": "bought, purchased, breeder, seller's word",
    "keeping": "keep, keeper, kept, here, holdback, hold back",
    "for sale": "available, on sale, sale",
    "on loan": "loan, lent, breeding loan",
    "died": "dead, deceased",
    "stillborn": "still born, stillbirth, born dead",
    "died in egg": "dead in egg, died in the egg, dead-in-egg",
    "slug": "slugs, infertile, unfertilised, unfertilized, infertile egg, infertile ovum",
    "gravid": "pregnant, with eggs",
    "spent": "after laying, after birth, post-laying, post laying, post-partum",
    "ill": "sick, unwell",
    "hatchling": "hatchlings, neonate, neonates, baby, babies, newborn",
    "juvenile": "juveniles, juvie, juv",
    "subadult": "sub-adult, sub adult, subadults",
    "adult": "adults, grown",
    "asked": "ask, asking, advert, ad, offered, for sale, asking price",
    "sold": "sale, paid, sold for",
}
_BLANK_STATES = frozenset({"unsexed", "u", "0.0.1", "normal", "plain", "ok", "not sexed"})


def choice(value: object, choices: tuple[str, ...]) -> str | None:
    """The listed word that is meant, or None for a blank; CellFault with the nearest word where none is."""
    words = text(value)
    if words is None:
        return None
    found = _meanings(choices).get(_key(words))
    if found or words.lower() in BLANKS or words.lower() in _BLANK_STATES:
        return found
    meanings = _meanings(choices)
    alike = nearest(_key(words), meanings)
    near = meanings[alike] if alike else None
    allowed = f"Write {', '.join(choices[:-1])} or {choices[-1]}."
    raise CellFault("is not a word of the list", f"Did you mean '{near}'? {allowed}" if near else allowed)


@cache
def _meanings(choices: tuple[str, ...]) -> dict[str, str]:
    also = {
        _key(word): canonical
        for canonical in choices
        for word in (_ALSO.get(canonical, "").split("," if "," in _ALSO.get(canonical, "") else None))
    }
    return also | {_key(word): word for word in choices}


def _key(words: str) -> str:
    return "".join(words.lower().replace("-", " ").replace("_", " ").split()).rstrip(".")


def nearest(words: str, known: Iterable[str], cutoff: float = 60.0) -> str | None:
    """The known word most like the given one, case aside; None where none is alike (0 to 100, edit similarity)."""
    from rapidfuzz import fuzz, process

    found = process.extractOne(
        words, list(known), scorer=fuzz.ratio, processor=str.lower, score_cutoff=cutoff
    )
    return found[0] if found else None
