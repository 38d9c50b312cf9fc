"""The layout as it was drawn: frozen records, ids, geometry and snags."""
