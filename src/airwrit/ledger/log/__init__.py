"""The Merkle log: its tree, its heads, signed notes and checkpoints."""
