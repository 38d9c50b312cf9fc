"""Pictures as lists of primitives, which screen and paper read alike."""
