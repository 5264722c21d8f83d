"""What a flight meets where it is flown: people below, the authority it has, the ground under it, sight."""
