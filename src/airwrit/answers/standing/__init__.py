"""Who and what may fly on a day, why not, and what is missing."""
