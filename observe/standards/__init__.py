"""Where the cut score comes from, and how sure a decision at it is."""

from observe.standards.angoff import Angoff, Judgement, angoff
from observe.standards.borderline import borderline_group
from observe.standards.contrasting import contrasting_groups
from observe.standards.cut import PERCENT, RAW, Asking, Cut, Scale
from observe.standards.errors import Loss
from observe.standards.hofstee import Box, hofstee
from observe.standards.impact import Impact, impact
from observe.standards.patient_safety import SafetyStandard, Vote, patient_safety
from observe.standards.regression import borderline_regression

__all__ = [
    "PERCENT",
    "RAW",
    "Angoff",
    "Asking",
    "Box",
    "Cut",
    "Impact",
    "Judgement",
    "Loss",
    "SafetyStandard",
    "Scale",
    "Vote",
    "angoff",
    "borderline_group",
    "borderline_regression",
    "contrasting_groups",
    "hofstee",
    "impact",
    "patient_safety",
]
