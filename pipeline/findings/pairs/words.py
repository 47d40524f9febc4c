"""The score of a pair in words."""

from pipeline.findings.pairs.species_pairs import SpeciesPairs


def why(pairs: SpeciesPairs, place: int) -> str:
    """What the pair earns its points with, the most first, and what it loses them by."""
    points = pairs.score
    parts = [
        (points.goals[place], _goal(pairs, place)),
        (points.value[place], _value(pairs, place)),
        (points.information[place], _information(pairs, place)),
    ]
    said = [
        f"{words} ({_points(worth)})"
        for worth, words in sorted(parts, key=lambda p: -p[0])
        if words and worth >= 0.5
    ]
    if not said:
        said = ["Serves no goal, fetches little and would tell little"]
    if pairs.ready[place] < 0.995:
        said.append(f"both ready with {percent(pairs.ready[place])}")
    if points.kin[place] < 0:
        said.append(f"inbred by {percent(pairs.f[place])} ({_points(points.kin[place])})")
    if points.lost[place] <= -0.05:
        said.append(
            f"{percent(pairs.expected.outcomes.lost[place])} die of lethal genes ({_points(points.lost[place])})"
        )
    text = "; ".join(said)
    return f"{text[0].upper()}{text[1:]}."


def percent(share: float) -> str:
    """A share as a keeper reads it: '6 %', '0.4 %', '99.6 %', never 0 % or 100 % of what is not certain."""
    if 0 < share < 0.001:
        return "under 0.1 %"
    if 0.9995 < share < 1 - 1e-9:
        return "over 99.9 %"
    fine = share < 0.1 or 0.99 < share < 1 - 1e-9
    text = f"{100 * share:.1f}" if fine else f"{100 * share:.0f}"
    return f"{text.removesuffix('.0')} %"


def _points(worth: float) -> str:
    return f"{worth:+.0f}" if abs(worth) >= 0.95 else f"{worth:+.1f}"


def _goal(pairs: SpeciesPairs, place: int) -> str:
    at = pairs.score.goal[place]
    if at < 0:
        return ""
    goal = pairs.species.goals[at].name
    chances, wanted = pairs.expected.chances[goal], pairs.on_way[at, place]
    if wanted >= max(2 * chances.litter[place], chances.nearer[place]) and wanted > 0:
        return f"toward {goal}: {percent(wanted)} of litters have what its way wants"
    if 2 * chances.litter[place] >= chances.nearer[place]:
        litter = f", {percent(chances.litter[place])} of litters have one" if pairs.species.size_known else ""
        return f"{goal}: {percent(chances.one[place])} of young{litter}"
    return f"toward {goal}: {percent(chances.nearer[place])} of young nearer than both parents"


def _value(pairs: SpeciesPairs, place: int) -> str:
    value = pairs.expected.values.value[place]
    if not value > 0:
        return ""
    each = "a litter" if pairs.species.size_known else "each"
    return f"about {value:,.0f} {pairs.species.prices.currency} {each}"


def _information(pairs: SpeciesPairs, place: int) -> str:
    bits = pairs.expected.bits[place]
    if bits.sum() < 0.02:
        return ""
    group = pairs.species.groups.spaces[int(bits.argmax())].group.name
    return f"{bits.sum():.1f} bits on hidden genes, most on {group}"
