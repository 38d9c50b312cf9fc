"""Every edit is a pure function from a layout to a layout."""
