"""Published figures beside what the code computes; ``docs/validation.md`` shows all."""
