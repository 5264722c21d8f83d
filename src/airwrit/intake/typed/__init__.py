"""What people type or hand over: answers, facts files, flights."""
