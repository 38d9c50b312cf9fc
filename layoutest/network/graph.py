"""The multigraph of a layout: its nodes, with a leg as each edge's key."""

from __future__ import annotations

from typing import TYPE_CHECKING

import networkx as nx

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.choose import ChosenLeg

Graph = nx.MultiGraph  # of node names; the key of an edge is the id of its leg


def graph_of(legs: Mapping[str, ChosenLeg]) -> Graph[str]:
    """Build the graph of the legs that take part."""
    graph: Graph[str] = nx.MultiGraph()
    graph.add_edges_from((leg.start, leg.end, leg.id) for leg in legs.values())
    return graph


def legs_at(graph: Graph[str], node: str) -> list[str]:
    """The legs that end at a node, in no order; none for a node outside the graph."""
    if node not in graph:
        return []
    return [leg for edges in graph.adj[node].values() for leg in edges]


def chains(legs: Iterable[str], joins: Iterable[tuple[str, str]]) -> list[set[str]]:
    """Group legs that run on into one another."""
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(legs)
    graph.add_edges_from(joins)
    return list(nx.connected_components(graph))
