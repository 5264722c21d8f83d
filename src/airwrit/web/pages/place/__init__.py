"""Pages about a place: its airspace, daylight, weather, and the people below."""
