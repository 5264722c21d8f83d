"""Commands about where and when a flight is: light, weather, the people below."""
