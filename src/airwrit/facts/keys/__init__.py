"""Keys, by what they tell of: an aircraft, a registration, a person, a paper, an event, a flight, an incident."""
