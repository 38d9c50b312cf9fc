"""Pricing: quantities and a price book become cost lines, each with its cause, its area and where it comes from."""
