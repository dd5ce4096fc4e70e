"""How the guide is built: python -m sphinx -W -b html reports/guide out/guide (extra `docs`)."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from docutils.utils.math.latex2mathml import tex2mathml

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parents[1]))

project = "shellcheck_earth"
author = "shellcheck_earth contributors"
copyright = "2026, shellcheck_earth contributors"
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
myst_enable_extensions = ["dollarmath", "deflist"]
myst_heading_anchors = 3
suppress_warnings = ["myst.xref_missing"]  # links to files beside the guide: tests/test_guide.py follows every one
exclude_patterns = ["README.md"]
autodoc_member_order = "bysource"
autodoc_typehints = "none"
napoleon_google_docstring = False
default_role = "code"  # single backticks of the docstrings
html_theme = "alabaster"
html_theme_options = {
    "description": "Will this dome of coiled earth stand?",
    "page_width": "1080px",
    "sidebar_width": "260px",
    "fixed_sidebar": True,
}
html_title = "shellcheck_earth"
html_copy_source = False
html_show_sphinx = False


def _inline(writer: Any, node: Any) -> None:
    writer.body.append(tex2mathml(node.astext()))
    raise _skip()


def _block(writer: Any, node: Any) -> None:
    writer.body.append(f'<div class="math">{tex2mathml(node.astext(), as_block=True)}</div>')
    raise _skip()


def _skip() -> Exception:
    from docutils.nodes import SkipNode

    return SkipNode()


def setup(app: Any) -> None:
    """Equations as MathML, which browsers draw by themselves: nothing is loaded from outside."""
    app.add_html_math_renderer("mathml", inline_renderers=(_inline, None), block_renderers=(_block, None))


html_math_renderer = "mathml"
