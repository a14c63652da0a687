"""The rating of one learner: grades, critical events, words, and the seal."""
