"""The price book: the user's own prices, section sizes, labour times and stock."""
