"""The nouns of a job, and the only part of the solver that reads files."""
