"""Files of airspace data as features, each form as it was published."""
