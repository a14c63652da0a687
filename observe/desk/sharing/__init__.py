"""Who is at the tablet: observers who change places, and a learner's own screen."""
