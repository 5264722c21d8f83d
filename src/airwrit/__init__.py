"""airwrit: facts about drones and pilots in, findings of law out."""

__version__ = "0.1.0"
