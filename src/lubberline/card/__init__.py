"""The printed card, and the pledge that printing makes."""
