"""What keepers call their columns and sheets: plain words of the trade and of everyday, our own list.

Earlier words weigh a little more than later ones. Names of our own columns need not be listed.
"""

COLUMN_WORDS: dict[str, tuple[str, ...]] = {
    name: tuple(word.strip() for word in words.split(","))
    for name, words in {
        "Animals.ID": "id, animal id, snake id, gecko id, animal no, animal number, id no, id number, tag, code, #, no, nr, number, reptile id, ref, reference, tub, animal, snake, gecko, reptile, tag #, tag no, tag number, tag id, id #, animal #, snake #, snake no, snake number",
        "Animals.Name": "name, animal name, called, pet name, nickname, snake name, gecko name, reptile name, boa name, python name, snake, animal, gecko, reptile",
        "Animals.Species": "species, kind of snake, type of snake, kind, type, what, breed, common name, scientific name, latin name",
        "Animals.Sex": "sex, gender, m f, male female, sexed, sexed as",
        "Animals.Born": "dob, date of birth, birth date, birthdate, birthday, born, born on, hatched, hatch date, hatched on, date hatched, date born, date of hatch, birth year, year, year born, year of birth, hatch year, birth",
        "Animals.Genes": "genes, genetics, morph, morphs, gene, label, traits, trait, mutation, mutations, genetic makeup, colour, color, phenotype, description",
        "Animals.Label basis": "label basis, basis, proof, proven, proved, genes known from",
        "Animals.Sire": "sire, father, dad, male parent, sire id, father id, pa",
        "Animals.Dam": "dam, mother, mum, mom, female parent, dam id, mother id, ma",
        "Animals.Status": "status, state, where now, current status, availability, where is it, whereabouts",
        "Animals.Paid": "paid, price paid, purchase price, cost, bought for, amount paid, purchase cost, cost price",
        "Pairings.Pairing": "pairing, pair, pairing id, pair id, breeding, breeding id, cross, project, pairing no, pair no, clutch id, litter id",
        "Pairings.Season": "season, year, breeding season, breeding year",
        "Pairings.Dam": "dam, female, mother, mum, mom, dam id, female id, mother id, ♀",
        "Pairings.Sire": "sire, male, father, dad, sire id, male id, father id, ♂",
        "Pairings.Other sires": "other sires, other males, second male, other male, also with, male 2, sire 2, second sire",
        "Pairings.First paired": "first paired, paired, date paired, paired on, introduced, first introduced, date introduced, put together, pairing date, first lock, locked, lock date, copulation, mated, date mated",
        "Pairings.Last paired": "last paired, separated, date separated, last lock, taken apart, last together",
        "Pairings.Ovulated or laid": "ovulated or laid, laid, lay date, date laid, eggs laid on, laid on, laying date, oviposition, ovulated, ovulation, ovulation date, egg date, lay, eggs laid",
        "Hatch results.Pairing": "pairing, pair, pairing id, pair id, breeding, breeding id, cross, from pairing, project, clutch id, litter id",
        "Hatch results.Clutch": "clutch, clutch no, clutch number, litter, litter no, litter number",
        "Hatch results.Date": "hatched, hatch date, date hatched, hatched on, born, born on, birth date, date of birth, dob, date, pipped, date of hatch",
        "Hatch results.Genes": "genes, genetics, morph, morphs, gene, label, young, babies, what hatched, result, results, offspring, traits, phenotype, colour, color",
        "Hatch results.Sex": "sex, gender, m f",
        "Hatch results.Count": "count, how many, number, number of young, qty, quantity, amount, no, nr, n, #",
        "Hatch results.Count of live": "live, alive, hatched, live young, number hatched, no hatched, live born, hatchlings, babies, healthy, live babies, born, young",
        "Hatch results.Count of slug": "slugs, infertile, infertile eggs, infertiles, duds, bad eggs, unfertilised, unfertilized",
        "Hatch results.Count of stillborn": "stillborn, still born, stillborns, born dead, dead at birth, still, stills",
        "Hatch results.Count of died in egg": "died in egg, dead in egg, dead in shell, lost eggs, eggs died, full term dead",
        "Hatch results.Outcome": "outcome, fate, alive or dead, live or dead",
        "Hatch results.Animal": "animal, hatchling id, baby id, young id, animal id, id, offspring id, snake id",
        "Hatch results.Unreadable": "unreadable, not told, could not tell, unsure of",
        "Weights.Animal": "animal, id, animal id, snake, snake id, gecko, gecko id, name, reptile, animal name, tag, no, number, #, tag #, tag no, tag number, animal #, snake #",
        "Weights.Date": "date, date weighed, weighed, weighed on, weigh date, weighing date, date of weighing, day, last weighed, weight date, date of weight, measured, measured on, date measured, on, when, as of",
        "Weights.Weight": "weight, wt, grams, g, mass, last weight, current weight, current wt, last wt, weight now, latest weight, body weight, weight grams, size g",
        "Weights.Length": "length, size, cm, total length, last length, current length, size cm, snout to tail",
        "Weights.State": "state, condition, gravid, remark on state",
        "Prices.Date": "date, date seen, seen, seen on, date listed, listed, listed on, advert date, day, date sold, sold on, sale date, sold",
        "Prices.Species": "species, kind of snake, type of snake, breed, animal, common name, scientific name",
        "Prices.Genes": "genes, genetics, morph, morphs, gene, label, traits, description, item, animal, phenotype",
        "Prices.Sex": "sex, gender, m f",
        "Prices.Age class": "age class, age, stage, age group, life stage",
        "Prices.Price": "price, asking, asking price, ask, asked, cost, amount, sold for, sale price, selling price, value",
        "Prices.Currency": "currency, cur, money",
        "Prices.Kind": "kind, asked or sold, type, price type, sold or asked",
        "Prices.Where": "where, place, source, seen at, found at, venue, show",
        "Species.Species": "species, name, common name, animal, kind",
        "Species.Scientific name": "scientific name, latin name, latin, scientific",
        "Species.Young": "young, eggs or live, reproduction, birth type",
        "Species.Female breeding weight": "female breeding weight, female weight, min female weight, breeding weight female",
        "Species.Male breeding weight": "male breeding weight, male weight, min male weight, breeding weight male",
        "Species.Female breeding age": "female breeding age, female age, min female age, breeding age female",
        "Species.Male breeding age": "male breeding age, male age, min male age, breeding age male",
        "Species.Rest between litters": "rest between litters, rest, rest months, months of rest",
        "Species.Days to young": "days to young, incubation, incubation days, gestation, gestation days, days to hatch",
        "Species.Typical litter": "typical litter, litter size, clutch size, typical clutch, average clutch",
        "Genes.Species": "species, animal, kind",
        "Genes.Gene": "gene, name, trait, mutation, morph, gene name",
        "Genes.Also written": "also written, aka, also known as, alias, aliases, other names, short, abbreviation, synonyms",
        "Genes.Inheritance": "inheritance, type, mode, how inherited, inherited, mode of inheritance, gene type, dominance",
        "Genes.Locus": "locus, complex, allelic with, allele of",
        "Genes.Two copies name": "two copies name, super form, super, super name, homozygous name, super called",
        "Genes.Welfare note": "welfare note, welfare, health, health issues, issues, problems",
        "Morph names.Species": "species, animal, kind",
        "Morph names.Name": "name, morph, morph name, combo, combo name, called",
        "Morph names.Genes": "genes, made of, combination, consists of, stands for, combination of",
        "Goals.Goal": "goal, project, aim, wish, dream, plan",
        "Goals.Species": "species, animal",
        "Goals.Genes": "genes, morph, wanted, genetics, label, target",
        "Goals.Wanted by": "wanted by, by, by when, deadline, target year, year",
        "Goals.Priority": "priority, rank, order, importance",
        "Settings.Setting": "setting", "Settings.Value": "value",
    }.items()
}  # fmt: skip
"""Words by 'Sheet.Column'; 'Count of X' counts young whose outcome is X."""

NOTE_WORDS = ("notes", "note", "comment", "comments", "remark", "remarks", "memo", "observations")

SALE_WORDS: dict[str, tuple[str, ...]] = {
    "Prices.Date": ("date sold", "sold on", "sale date", "sold date", "date of sale"),
    "Prices.Price": ("sold for", "sale price", "sold price", "selling price", "price sold"),
}
"""What an animal list says of a sale; 'price' alone may be what was paid, asked or hoped for, and is no sale."""

WEIGHING_WORDS: dict[str, tuple[str, ...]] = {
    "Weights.Date": COLUMN_WORDS["Weights.Date"][1:],
    "Weights.Weight": COLUMN_WORDS["Weights.Weight"],
    "Weights.Length": ("length", "cm", "total length", "last length", "current length"),
}
"""What an animal list says of its last weighing."""

TAB_WORDS: dict[str, tuple[str, ...]] = {
    "Animals": ("animals", "collection", "snakes", "geckos", "my snakes", "my animals", "stock", "breeders", "inventory", "animal list", "holdbacks", "list"),
    "Pairings": ("pairings", "breeding", "breedings", "pairs", "clutches", "litters", "breeding log", "breeding list", "hatch results", "hatches", "hatchlings", "results", "clutch log", "incubation", "eggs", "young", "babies"),
    "Weights": ("weights", "weighing", "weighings", "growth", "weight log", "feeding and weights", "measurements"),
    "Prices": ("prices", "market", "sales", "adverts", "price log", "sold", "for sale"),
    "Genes": ("genes", "gene list", "genetics", "traits", "mutations"),
    "Morph names": ("morph names", "combos", "morphs"),
    "Species": ("species", "species list"),
    "Goals": ("goals", "projects", "plans", "wishes", "aims"),
    "Settings": ("settings",),
}  # fmt: skip
"""What sheets of each topic are called."""
