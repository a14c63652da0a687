"""How far observers agree: coefficients with intervals, or the reason why there is none."""

from observe.agreement.conger import conger_kappa
from observe.agreement.consistency import cronbach_alpha
from observe.agreement.estimate import Estimate
from observe.agreement.gwet import brennan_prediger, fleiss_kappa, gwet_ac1, gwet_ac2, scott_pi
from observe.agreement.icc import icc, icc_forms
from observe.agreement.kappa import cohen_kappa, weighted_kappa
from observe.agreement.krippendorff import krippendorff_alpha
from observe.agreement.limits import bland_altman
from observe.agreement.pabak import pabak
from observe.agreement.percent import percent_agreement
from observe.agreement.ratings import Ratings, Scale
from observe.agreement.specific import specific_agreement

__all__ = [
    "Estimate",
    "Ratings",
    "Scale",
    "bland_altman",
    "brennan_prediger",
    "cohen_kappa",
    "conger_kappa",
    "cronbach_alpha",
    "fleiss_kappa",
    "gwet_ac1",
    "gwet_ac2",
    "icc",
    "icc_forms",
    "krippendorff_alpha",
    "pabak",
    "percent_agreement",
    "scott_pi",
    "specific_agreement",
    "weighted_kappa",
]
