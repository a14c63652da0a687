"""The learner's signed sheet; the only place that knows how a PDF is drawn and signed."""
