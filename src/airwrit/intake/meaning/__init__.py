"""What columns mean, by heading and values together: words as data, shapes of values, rules of facts, and doubt."""
