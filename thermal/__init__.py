"""Heat of aircraft brakes: what a landing puts in, how it cools, what limits hold."""

from thermal.aircraft import Aircraft

__all__ = ["Aircraft"]
