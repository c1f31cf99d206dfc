"""The database of flights and findings."""
