"""Keys of a flight, planned or flown: what it is for, where and how it is flown, and by what authority."""
