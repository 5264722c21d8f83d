"""Private facts taken out on lawful request, and records that have to stay."""
