"""The multigraph of a layout: its nodes, with a leg as each edge's key."""

from __future__ import annotations

from typing import TYPE_CHECKING

import networkx as nx

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.choose import ChosenLeg

Graph = nx.MultiGraph  # of node names; the key of an edge is the id of its leg


def graph_of(legs: Mapping[str, ChosenLeg]) -> Graph[str]:
    """Build the graph of the legs that take part."""
    graph: Graph[str] = nx.MultiGraph()
    for leg in legs.values():
        graph.add_edge(leg.start, leg.end, leg.id)
    return graph


def legs_by_node(legs: Mapping[str, ChosenLeg]) -> dict[str, list[ChosenLeg]]:
    """The legs that end at each node of the graph, in no order."""
    return {
        node: [legs[name] for edges in neighbours.values() for name in edges]
        for node, neighbours in graph_of(legs).adjacency()
    }
