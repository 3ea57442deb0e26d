"""Settings of the documentation: Sphinx with MyST, built with warnings as errors."""

from __future__ import annotations

import re
from pathlib import Path

from docutils import nodes
from latex2mathml.converter import convert
from sphinx.application import Sphinx
from sphinx.writers.html5 import HTML5Translator

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = (ROOT / "src" / "underset" / "__init__.py").read_text("utf-8")

project = "Underset"
author = "The Underset authors"
release = re.findall(r'^__version__ = "(.+)"$', PACKAGE, re.M)[0]
language = "en"

extensions = ["myst_parser"]
source_suffix = {".md": "markdown"}
exclude_patterns = ["**/_*", "generators/**"]
nitpicky = True

myst_enable_extensions = ["colon_fence", "deflist", "dollarmath", "fieldlist"]
myst_heading_anchors = 3

html_theme = "alabaster"
html_theme_options = {
    "description": "How a road vehicle is set on a two-post lift",
    "fixed_sidebar": True,
    "page_width": "72rem",
}
html_show_copyright = False
html_show_sourcelink = False
html_math_renderer = "mathml"


# --- formulas as MathML: browsers set them by themselves, the pages need no network ---------------


def visit_inline(writer: HTML5Translator, node: nodes.math) -> None:
    writer.body.append(convert(node.astext()))
    raise nodes.SkipNode


def visit_block(writer: HTML5Translator, node: nodes.math_block) -> None:
    writer.body.append(f'<div class="math">{convert(node.astext(), display="block")}</div>')
    raise nodes.SkipNode


def setup(app: Sphinx) -> None:
    app.add_html_math_renderer("mathml", (visit_inline, None), (visit_block, None))
