"""Files that are read and written: the layout, its JSON Schema and its backup."""
