"""The day as a mathematical model: integers and records in, no heat."""
