"""How the pages are built. What they take from the program is made by the extension in `_ext/house_pages`."""

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE / "_ext"))

from house_pages.worked import numbers  # noqa: E402 - the line above makes it findable

from blockwright import __version__  # noqa: E402

project = "Blockwright"
version = release = __version__
extensions = ["myst_parser", "house_pages"]
exclude_patterns = ["_build", "_ext"]
highlight_language = "text"
pygments_style = "bw"
pygments_dark_style = "bw"
nitpicky = True

myst_enable_extensions = ["deflist", "colon_fence", "substitution"]
myst_heading_anchors = 3
myst_substitutions = numbers()

html_theme = "furo"
html_title = "Blockwright"
html_static_path = ["_static"]
templates_path = ["_templates"]
html_css_files = ["blockwright.css"]
html_favicon = "_static/mark.svg"
html_copy_source = False
html_show_sphinx = False
html_show_copyright = False
html_use_index = False
html_domain_indices = False

LIGHT = {
    "paper": "#f4f2ec",
    "sheet": "#fffdf8",
    "ink": "#17191b",
    "soft": "#5b5f62",
    "line": "#c9c4b8",
    "slot": "#e6e1d5",
    "good": "#1d4f91",
    "doubt": "#8a5a00",
    "out": "#b3261e",
}
DARK = {
    "paper": "#121416",
    "sheet": "#1b1e21",
    "ink": "#f1efe9",
    "soft": "#a9adb0",
    "line": "#3a3f44",
    "slot": "#2a2f34",
    "good": "#8db7f2",
    "doubt": "#f0bd5e",
    "out": "#ff8a7f",
}
FROM_PALETTE = {
    "color-foreground-primary": "ink",
    "color-foreground-secondary": "soft",
    "color-foreground-muted": "soft",
    "color-foreground-border": "line",
    "color-background-primary": "sheet",
    "color-background-secondary": "paper",
    "color-background-hover": "slot",
    "color-background-hover--transparent": "slot",
    "color-background-border": "line",
    "color-background-item": "line",
    "color-brand-primary": "good",
    "color-brand-content": "good",
    "color-brand-visited": "good",
    "color-highlight-on-target": "slot",
    "color-inline-code-background": "slot",
    "color-code-background": "paper",
    "color-code-foreground": "ink",
    "color-table-border": "line",
}


def theme_colours(palette: dict[str, str]) -> dict[str, str]:
    """The theme's variables from a palette, and the palette itself for our own style sheet."""
    return {theirs: palette[ours] for theirs, ours in FROM_PALETTE.items()} | palette


html_theme_options = {
    "light_css_variables": theme_colours(LIGHT),
    "dark_css_variables": theme_colours(DARK),
    "top_of_page_buttons": [],
}
