"""Over many flights: better, worse, or too early to say."""
