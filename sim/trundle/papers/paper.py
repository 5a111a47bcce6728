"""A sheet as PDF, by fpdf2: lengths are millimetres of paper throughout."""

from __future__ import annotations

from fpdf import FPDF, FontFace
from fpdf.enums import TableBordersLayout

from trundle.drawing.font import add_fonts
from trundle.drawing.sheet import Drawing
from trundle.papers.parts import Document, Part, Table
from trundle.papers.screen import is_figure

MARGIN_MM = 14.0
WIDTH_MM = 210.0 - 2.0 * MARGIN_MM
INK, SOFT, MARK, LOUD = (29, 35, 38), (91, 101, 105), (31, 95, 122), (163, 33, 15)
BODY_PT, TABLE_PT = 8.5, 7.2


class _Paper(FPDF):
    """A4 with a foot line."""

    foot = ""

    def footer(self) -> None:
        """Title and page number."""
        if not self.foot:
            return
        self.set_y(-10.0)
        self.set_font("sheet", "", 7.0)
        self.set_text_color(*SOFT)
        self.cell(0.0, 4.0, self.foot)
        self.set_x(-MARGIN_MM - 30.0)
        self.cell(30.0, 4.0, f"page {self.page_no()}", align="R")


def _paper(foot: str = "") -> _Paper:
    pdf = _Paper(unit="mm", format="A4")
    pdf.foot = foot
    add_fonts(pdf)
    pdf.set_margins(MARGIN_MM, MARGIN_MM)
    return pdf


def sheet_pdf(document: Document, view: Drawing | None = None) -> bytes:
    """The sheet on A4 pages. view: the side view, drawn to the page's width."""
    pdf = _paper(document.title)
    pdf.set_auto_page_break(True, 14.0)
    pdf.set_title(document.title)
    pdf.add_page()
    pdf.set_font("sheet", "B", 17.0)
    pdf.set_text_color(*INK)
    pdf.multi_cell(0.0, 8.0, document.title, new_x="LMARGIN", new_y="NEXT")
    if document.subtitle:
        _text(pdf, document.subtitle, SOFT)
    if view is not None:
        scale = min(WIDTH_MM / view.width, 75.0 / view.height)
        pdf.ln(2.0)
        top = pdf.get_y()
        view.onto(pdf, MARGIN_MM, top, scale)
        pdf.set_xy(MARGIN_MM, top + view.height * scale + 1.0)
    for part in document.parts:
        _part(pdf, part)
    return bytes(pdf.output())


def _text(pdf: FPDF, text: str, colour: tuple[int, int, int] = INK, bold: bool = False) -> None:
    pdf.set_font("sheet", "B" if bold else "", BODY_PT)
    pdf.set_text_color(*colour)
    pdf.multi_cell(0.0, 4.1, text, new_x="LMARGIN", new_y="NEXT", align="L")


def _part(pdf: FPDF, part: Part) -> None:
    # A title never stands alone at the foot of a page.
    if pdf.get_y() > 297.0 - 14.0 - 48.0:
        pdf.add_page()
    pdf.ln(4.0)
    pdf.set_font("sheet", "B", 11.0)
    pdf.set_text_color(*MARK)
    pdf.cell(0.0, 6.0, part.title, new_x="LMARGIN", new_y="NEXT")
    pdf.set_draw_color(*MARK)
    pdf.set_line_width(0.4)
    pdf.line(MARGIN_MM, pdf.get_y(), MARGIN_MM + WIDTH_MM, pdf.get_y())
    pdf.ln(1.5)
    if part.intro:
        _text(pdf, part.intro, SOFT)
    for line in part.loud:
        _text(pdf, f"!  {line}", LOUD, bold=True)
    for table in part.tables:
        pdf.ln(1.5)
        _table(pdf, table)
    if part.lines:
        pdf.ln(1.0)
    for line in part.lines:
        _text(pdf, f"•  {line}")


def _table(pdf: FPDF, table: Table) -> None:
    bare = not any(table.heads)
    columns = range(len(table.heads))
    right = [not bare and all(is_figure(r[i]) for r in table.rows) for i in columns]
    widths = _widths(pdf, table, right)
    pdf.set_font("sheet", "", TABLE_PT)
    pdf.set_text_color(*INK)
    pdf.set_draw_color(200)
    pdf.set_line_width(0.15)
    pdf.set_fill_color(255)
    head = FontFace(emphasis="BOLD", color=INK, fill_color=(238, 241, 242))
    with pdf.table(
        col_widths=widths,
        width=sum(widths),
        align="LEFT",
        text_align=tuple("RIGHT" if r else "LEFT" for r in right),
        line_height=3.7,
        borders_layout=TableBordersLayout.HORIZONTAL_LINES,
        first_row_as_headings=not bare,
        headings_style=head,
        padding=(0.5, 1.2),
        v_align="TOP",
    ) as made:
        for row in ([] if bare else [table.heads]) + list(table.rows):
            line = made.row()
            for cell in row:
                line.cell(cell)


def _widths(pdf: FPDF, table: Table, right: list[bool]) -> list[float]:
    """Column widths [mm]: what the text needs, columns of words get narrower until everything fits the page."""
    need, least = [], []
    rows = [table.heads, *table.rows]
    for i in range(len(table.heads)):
        wide = longest = 0.0
        for k, row in enumerate(rows):
            pdf.set_font("sheet", "B" if k == 0 else "", TABLE_PT)
            # A number is not broken over lines, words are.
            words = [row[i]] if is_figure(row[i]) else row[i].split()
            longest = max([longest, *(pdf.get_string_width(w) for w in words)])
            wide = max(wide, pdf.get_string_width(row[i]))
        need.append(wide + 3.2)
        least.append(longest + 3.2)
    over = sum(need) - WIDTH_MM
    give = sum(n - m for n, m in zip(need, least, strict=True))
    if over <= 0.0:
        return need
    if give <= over:
        # Even the longest words are too wide: share what there is, words break.
        return [m * WIDTH_MM / sum(least) for m in least]
    return [n - (n - m) * over / give for n, m in zip(need, least, strict=True)]
