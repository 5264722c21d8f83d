"""What the sheets of aircraft and people have in common: paths, rolls, clauses, lanes through time, drawings, history."""
