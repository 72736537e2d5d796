"""The command ``heatslot``: arguments → one call → exit code."""
