"""Everything derived from a layout, kept up to date while somebody edits."""
