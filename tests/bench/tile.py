"""A large layout for benchmarks: a demo laid side by side as often as it takes."""

from dataclasses import replace
from types import MappingProxyType

from layoutest.layout.document import Layout, Node


def tiled(layout: Layout, legs: int) -> Layout:
    """Copies of a layout in rows of 25, 30 m apart, cut off after so many legs."""
    copies = -(-legs // len(layout.legs))
    nodes, made, items, fittings, structure = {}, {}, {}, {}, {}
    for number in range(copies):
        dx, dy, tag = 30_000 * (number % 25), 30_000 * (number // 25), f"t{number}."
        for name, node in layout.nodes.items():
            nodes[tag + name] = Node(node.x_mm + dx, node.y_mm + dy, node.level_mm)
        for name, leg in layout.legs.items():
            if len(made) < legs:
                made[tag + name] = replace(leg, start=tag + leg.start, end=tag + leg.end)
        for name, item in layout.items.items():
            if tag + item.leg in made:
                items[tag + name] = replace(item, leg=tag + item.leg)
        fittings |= {tag + name: choice for name, choice in layout.fittings.items()}
        for name, outline in layout.structure.items():
            moved = tuple((x + dx, y + dy) for x, y in outline.outline)
            structure[tag + name] = replace(outline, outline=moved)
    used = {node for leg in made.values() for node in (leg.start, leg.end)}
    return replace(
        layout,
        nodes=MappingProxyType({name: node for name, node in nodes.items() if name in used}),
        legs=MappingProxyType(made),
        items=MappingProxyType(items),
        fittings=MappingProxyType({name: choice for name, choice in fittings.items() if name in used}),
        structure=MappingProxyType(structure),
    )
