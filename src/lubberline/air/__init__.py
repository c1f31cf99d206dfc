"""Standard atmosphere, altimetry, airspeeds and wind."""
