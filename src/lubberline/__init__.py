"""Fix a flight's numbers before take-off, and measure the recorded flight against them."""

__version__ = "0.1.0"
