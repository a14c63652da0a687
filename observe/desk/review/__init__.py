"""Review: do our observers agree, over the second looks of many workshops."""
