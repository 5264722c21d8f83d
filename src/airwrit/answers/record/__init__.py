"""All that is on record of one aircraft or person."""
