"""What a pilot takes along on a day."""
