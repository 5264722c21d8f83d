"""After an incident: whom to notify by when, or why not, what to keep, and near misses."""
