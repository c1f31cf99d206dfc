"""How the tables came to be as they are, one step per revision."""
