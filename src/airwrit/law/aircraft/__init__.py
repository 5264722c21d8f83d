"""The law of an aircraft: its duty to be registered, its certificate, mark, weight and Remote ID."""
