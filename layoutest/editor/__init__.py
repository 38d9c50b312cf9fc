"""The window: events -> state -> scene -> pixels."""
