"""Which coefficient fits a table of ratings, why, and which does not, with sources."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from observe.agreement.estimate import FEWEST_PAIRS, LABELS
from observe.agreement.ratings import Ratings, Scale

SKEWED = 0.9
STEADY = 40

COHEN = "Cohen (1960), Educational and Psychological Measurement 20:37-46"
COHEN_WEIGHTED = "Cohen (1968), Psychological Bulletin 70:213-220"
FLEISS_COHEN = "Fleiss & Cohen (1973), Educational and Psychological Measurement 33:613-619"
FEINSTEIN = "Feinstein & Cicchetti (1990), Journal of Clinical Epidemiology 43:543-549"
CICCHETTI = "Cicchetti & Feinstein (1990), Journal of Clinical Epidemiology 43:551-558"
BYRT = "Byrt, Bishop & Carlin (1993), Journal of Clinical Epidemiology 46:423-429"
GWET = "Gwet (2008), British Journal of Mathematical and Statistical Psychology 61:29-48"
GWET_BOOK = "Gwet (2014), Handbook of Inter-Rater Reliability, 4th ed."
CONGER = "Conger (1980), Psychological Bulletin 88:322-328"
FLEISS = "Fleiss (1971), Psychological Bulletin 76:378-382"
HAYES = "Hayes & Krippendorff (2007), Communication Methods and Measures 1:77-89"
SHROUT = "Shrout & Fleiss (1979), Psychological Bulletin 86:420-428"
BLAND = "Bland & Altman (1986), Lancet i:307-310"
DE_VET = "de Vet and others (2006), Journal of Clinical Epidemiology 59:1033-1039"


@dataclass(frozen=True, slots=True)
class Advice:
    """A coefficient in one form, why it is advised or not, and where that is from."""

    coefficient: str
    form: str
    why: str
    source: str

    @property
    def label(self) -> str:
        """Coefficient and form for people."""
        name = LABELS[self.coefficient]
        return f"{name}, {self.form}" if self.form else name


@dataclass(frozen=True, slots=True)
class Recommendation:
    """What fits a table.

    design: what the table is, a sentence. first: the coefficient to report; None where
    nothing can be compared, as `design` then says. beside: what to print next to it.
    against: what not to use here. cautions: what to bear in mind, in sentences.
    """

    design: str
    first: Advice | None
    beside: tuple[Advice, ...]
    against: tuple[Advice, ...]
    cautions: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Names to compute, percent agreement first, each once."""
        advised = (*self.beside[:1], *([self.first] if self.first else []), *self.beside[1:])
        return tuple(dict.fromkeys(one.coefficient for one in advised))


@dataclass(frozen=True, slots=True)
class _Design:
    """What of a table decides. crossed: the same observers rated every rated unit."""

    scale: Scale
    observers: int
    crossed: bool
    most: int
    binary: bool
    top_share: float

    @property
    def two(self) -> bool:
        return self.observers == 2


def recommend(ratings: Ratings) -> Recommendation:
    """Which coefficient to report for these ratings, and why; never raises.

    Decided by the scale, the number of observers, whether the same observers rated every
    unit, what is missing, and how uneven the categories are.
    """
    design = _design(ratings)
    if not ratings.shared:
        reason = "No unit was rated by two or more observers, so nothing can be compared."
        return Recommendation(reason, None, (), (), ("Plan second looks on some units.",))
    if design.scale.is_of_numbers:
        first, beside, against = _numbers(design, ratings)
    elif design.scale is Scale.ORDINAL:
        first, beside, against = _ordered(design)
    else:
        first, beside, against = _named(design)
    percent = Advice("percent_agreement", "", "It says plainly how often observers agree.", DE_VET)
    return Recommendation(
        _sentence(ratings, design),
        first,
        (percent, *beside),
        tuple(against),
        tuple(_cautions(ratings, design)),
    )


def _design(ratings: Ratings) -> _Design:
    given = ratings.per_unit[ratings.per_unit > 0]
    width = len(ratings.observers)
    uses = np.bincount(ratings.code, minlength=1)
    return _Design(
        ratings.scale,
        width,
        bool(len(given)) and bool((given == width).all()),
        int(given.max(initial=0)),
        len(ratings.categories) == 2,
        float(uses.max() / max(uses.sum(), 1)),
    )


def _named(design: _Design) -> tuple[Advice, list[Advice], list[Advice]]:
    beside = [
        Advice("gwet_ac1", "", "It stays steady where nearly every rating is the same.", GWET)
    ]
    against = [Advice("weighted_kappa", "", "The categories have no order.", COHEN_WEIGHTED)]
    if design.two:
        why = "Two observers and categories without an order; it rests on the units both rated."
        first = Advice("cohen_kappa", "", why, COHEN)
        if design.binary:
            adjusted = "Beside its prevalence and bias index it shows what moves kappa."
            beside.insert(0, Advice("pabak", "", adjusted, BYRT))
            each = "Agreement on each of the two categories by itself."
            beside.append(Advice("specific_agreement", "", each, CICCHETTI))
        return first, beside, against
    against.append(Advice("cohen_kappa", "", "It compares exactly two observers.", COHEN))
    if design.crossed:
        why = "The same observers rated every unit, and each keeps shares of their own."
        return Advice("conger_kappa", "", why, CONGER), beside, against
    why = "Observers or numbers of ratings change from unit to unit; it uses every pair there is."
    against.append(
        Advice("conger_kappa", "", "It needs the same observers for every unit.", CONGER)
    )
    beside.insert(0, Advice("fleiss_kappa", "", "For comparison; generalised.", FLEISS))
    return Advice("krippendorff_alpha", "nominal", why, HAYES), beside, against


def _ordered(design: _Design) -> tuple[Advice, list[Advice], list[Advice]]:
    beside = [
        Advice(
            "gwet_ac2",
            "quadratic",
            "It stays steady where nearly every rating is the same.",
            GWET_BOOK,
        )
    ]
    plain = "It counts a near miss like the largest disagreement."
    against = [Advice("cohen_kappa" if design.two else "fleiss_kappa", "", plain, COHEN_WEIGHTED)]
    if design.two:
        why = "Two observers of an ordered scale; quadratic weights come close to an ICC."
        return Advice("weighted_kappa", "quadratic", why, FLEISS_COHEN), beside, against
    why = "More than two observers of an ordered scale, in any number and with any gaps."
    against.append(Advice("weighted_kappa", "", "It compares exactly two observers.", COHEN))
    return Advice("krippendorff_alpha", "ordinal", why, HAYES), beside, against


def _numbers(design: _Design, ratings: Ratings) -> tuple[Advice, list[Advice], list[Advice]]:
    beside = []
    order = "ICC(3,1) ranks only: it leaves out that one observer is the more severe."
    against = [Advice("icc", "ICC(3,1)", order, SHROUT)]
    if design.two:
        apart = "How far two scores of one unit lie apart, in the score's own unit."
        beside.append(Advice("bland_altman", "", apart, BLAND))
    against.append(
        Advice("cohen_kappa", "", "It counts 59 and 60 as different as 0 and 60.", COHEN)
    )
    complete = int(np.count_nonzero(ratings.per_unit == design.observers))
    metric = str(design.scale)
    if design.scale is Scale.RATIO:
        why = "A true zero, and distances that count in proportion."
        return Advice("krippendorff_alpha", metric, why, HAYES), beside, against
    if complete >= max(2, ratings.shared / 2):
        why = (
            "The same observers scored the units; absolute agreement of one observer, as a"
            " decision by one observer needs it."
        )
        beside.append(Advice("krippendorff_alpha", metric, "It uses units with gaps too.", HAYES))
        return Advice("icc", "ICC(2,1)", why, SHROUT), beside, against
    why = "Observers change from unit to unit; it uses every pair there is."
    against.append(Advice("icc", "ICC(2,1)", "It needs the same observers for each unit.", SHROUT))
    return Advice("krippendorff_alpha", metric, why, HAYES), beside, against


def _cautions(ratings: Ratings, design: _Design) -> Iterator[str]:
    if ratings.shared < FEWEST_PAIRS:
        yield (
            f"Only {ratings.shared} units were rated twice or more: read the counts and percent"
            " agreement, and take no coefficient for settled."
        )
    elif ratings.shared < STEADY and design.scale.is_of_numbers:
        yield f"{ratings.shared} units give unsteady limits; {STEADY} or more are advised."
    if not design.scale.is_of_numbers and design.top_share >= SKEWED:
        yield (
            f"{design.top_share * 100:.0f} % of the ratings are one category: kappa, pi and alpha"
            f" fall whatever the agreement ({FEINSTEIN}); read AC1 and percent agreement."
        )
    if ratings.rated > ratings.shared:
        yield (
            f"{ratings.rated - ratings.shared} units were rated once: they tell of the shares of"
            " categories in some coefficients, and of agreement in none."
        )
    if not ratings.declared and not design.scale.is_of_numbers:
        yield "Declare the categories of the form: those nobody used count in several coefficients."
    if ratings.clusters is None:
        yield (
            "Units of one learner are not independent: where learners come back, name them, or"
            " intervals are too narrow."
        )


def _sentence(ratings: Ratings, design: _Design) -> str:
    who = "the same for every unit" if design.crossed else "not all for every unit"
    return (
        f"{ratings.shared:,} of {ratings.units:,} units rated twice or more;"
        f" {design.observers} observers, {who}; {design.scale} scale"
        + ("" if design.scale.is_of_numbers else f", {len(ratings.categories)} categories")
        + "."
    )
