"""Lines about some subjects, with proof that they are in the log and complete."""
