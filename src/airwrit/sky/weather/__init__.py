"""Weather reports and forecasts as text: METAR, SPECI and TAF, each group with its meaning, and what could not be read."""
