"""The network: chosen legs become straights and the fittings between them."""

from layoutest.network.derive import Network, derive

__all__ = ["Network", "derive"]
