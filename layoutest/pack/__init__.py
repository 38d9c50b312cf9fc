"""The packer: which piece is cut from which section, for the least money, with a bound that says how good it is."""
