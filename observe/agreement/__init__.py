"""How far observers agree: coefficients with intervals, or the reason why there is none."""

from observe.agreement.estimate import Estimate
from observe.agreement.gwet import brennan_prediger, fleiss_kappa, gwet_ac1, scott_pi
from observe.agreement.kappa import cohen_kappa, weighted_kappa
from observe.agreement.pabak import pabak
from observe.agreement.percent import percent_agreement, specific_agreement
from observe.agreement.ratings import Ratings, Scale

__all__ = [
    "Estimate",
    "Ratings",
    "Scale",
    "brennan_prediger",
    "cohen_kappa",
    "fleiss_kappa",
    "gwet_ac1",
    "pabak",
    "percent_agreement",
    "scott_pi",
    "specific_agreement",
    "weighted_kappa",
]
