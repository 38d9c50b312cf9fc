"""A picture of what a terminal shows, as plain SVG: dark text on a light panel, nothing else."""

from xml.sax.saxutils import escape

CHARACTER_PX = 8.43
LINE_PX = 18
MARGIN_PX = 20
BOLD = ' font-weight="bold"'
PLAIN = ""


def terminal_picture(command: str, text: str, lines: int) -> str:
    """Draw a command and the first lines of what it prints."""
    shown = [f"$ {command}", *text.splitlines()[:lines], "..."]
    width = round(2 * MARGIN_PX + CHARACTER_PX * max(map(len, shown)))
    height = 2 * MARGIN_PX + LINE_PX * len(shown)
    rows = [
        f'<text x="{MARGIN_PX}" y="{MARGIN_PX + 13 + LINE_PX * number}"'
        f"{BOLD if _is_heading(row) else PLAIN}>{escape(row)}</text>"
        for number, row in enumerate(shown)
    ]
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}">',
            f'<rect width="{width}" height="{height}" fill="#f6f5f1" stroke="#c9c5ba"/>',
            '<g font-family="DejaVu Sans Mono, monospace" font-size="14" fill="#1f2328" xml:space="preserve">',
            *rows,
            "</g>",
            "</svg>",
            "",
        ]
    )


def _is_heading(row: str) -> bool:
    title = row.partition(",")[0]
    return row.startswith("$") or (title.isupper() and not row.startswith(" "))
