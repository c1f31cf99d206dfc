"""The report as one HTML file, its pictures, and the local page."""
