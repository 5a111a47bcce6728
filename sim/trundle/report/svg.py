"""A matplotlib figure as a piece of HTML: inline SVG, the same text each time, nothing fetched."""

from __future__ import annotations

import gc
import io
import re
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from html import escape
from typing import Any

import matplotlib as mpl
from matplotlib.figure import Figure

_STYLE: Any = {
    "svg.fonttype": "none",  # text stays text: it can be searched, and the page stays small
    "svg.hashsalt": "trundle",
    "text.parse_math": False,  # a dollar sign in a name is a dollar sign
    "font.family": ["DejaVu Sans"],
    "font.size": 8.0,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.linewidth": 0.6,
    "axes.axisbelow": True,
    "legend.frameon": False,
    "legend.fontsize": 7.5,
    "lines.linewidth": 0.9,
}
_NO_METADATA = dict.fromkeys(("Creator", "Date", "Format", "Type"))
_PATH = re.compile(r' d="[^"]*"')
_DIGITS = re.compile(r"(?<=\.\d\d)\d+")
_OWN_IDS = re.compile(r' id="[A-Za-z0-9.]+_\d+"')


@contextmanager
def style() -> Iterator[None]:
    """How all pictures of a report look. Figures must be made and turned to text inside it.

    Python's search for dead cycles waits meanwhile: it takes a quarter of the time and finds next to nothing.
    """
    searching = gc.isenabled()
    gc.disable()
    try:
        with mpl.rc_context(_STYLE), warnings.catch_warnings():
            # The browser has the letters that matplotlib's own font lacks.
            warnings.filterwarnings("ignore", message="Glyph .* missing from font")
            yield
    finally:
        if searching:
            gc.enable()


def inline(figure: Figure, label: str) -> str:
    """The figure as an <svg> element with `label` for those who cannot see it.

    Names of parts that nothing refers to, namespaces (HTML knows them), metadata and digits behind the
    hundredth of a point are left out.
    """
    out = io.StringIO()
    figure.savefig(out, format="svg", metadata=_NO_METADATA)
    text = out.getvalue()
    text = text[text.index("<svg") :]
    text = re.sub(r"<metadata>.*?</metadata>", "", text, flags=re.DOTALL)
    text = re.sub(r"<style[^>]*>.*?</style>", "", text, flags=re.DOTALL)
    text = re.sub(r' xmlns(:xlink)?="[^"]*"', "", text)
    text = text.replace("xlink:href", "href")
    text = _OWN_IDS.sub("", text)
    text = _PATH.sub(lambda m: _DIGITS.sub("", m[0]).replace(" \n", " "), text)
    text = re.sub(r'(<svg[^>]*?) width="[^"]*"', r"\1", text, count=1)
    text = re.sub(r'(<svg[^>]*?) height="[^"]*"', r"\1", text, count=1)
    return text.replace("<svg", f'<svg role="img" aria-label="{escape(label, quote=True)}"', 1).strip()
