"""Facts of the trade that ship with the package, each with its source."""
