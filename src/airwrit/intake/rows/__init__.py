"""The rows of a table as statements, and what about them is wrong or left open."""
