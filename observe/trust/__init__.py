"""Who wrote it: signatures over records, and what is known of the keys that made them."""
