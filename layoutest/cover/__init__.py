"""Covering: what is laid on each straight, how its ends are cut, and the curves to cut along."""
