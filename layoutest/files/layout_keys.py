"""What a layout file says it is, and the tables it holds in the order in which they stand."""

from __future__ import annotations

FORMAT = "layoutest-layout"
VERSION = 1
TABLES = ("pipes", "services", "nodes", "legs", "fittings", "items", "structure")
REQUIRED_TABLES = ("services", "nodes", "legs")
