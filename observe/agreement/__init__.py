"""How far observers agree: coefficients with intervals, or the reason why there is none."""
