"""Files as cells, photos and documents, read through the child process."""
