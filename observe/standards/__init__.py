"""Where the cut score comes from, and how sure a decision at it is."""
