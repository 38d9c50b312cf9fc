"""Checks of the whole layout in space: pipes that meet, nodes on legs, walls and slabs passed."""
