"""The day of a station: from a scenario folder to a verified plan."""
