"""Casework Kit: design plywood casework, check it, and take it to the saw."""
