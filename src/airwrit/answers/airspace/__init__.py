"""What the airspace on file says of a place."""
