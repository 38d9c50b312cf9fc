"""Documents: what a person reads of an estimate."""
