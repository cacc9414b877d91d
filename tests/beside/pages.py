"""Lays out by reportlab the tables that pages.rs lays out by the program, and times it: JSON in, JSON out."""
import io
import json
import statistics
import sys
import tempfile
import time
from xml.sax.saxutils import escape

import reportlab
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import LongTable, PageBreak, Paragraph, SimpleDocTemplate, Spacer

asked = json.load(sys.stdin)
cells = sum(len(row) for _, tables in asked["sheets"] for table in tables for row in table)


def lay():
    out = io.BytesIO()
    page = SimpleDocTemplate(out, pagesize=A4, leftMargin=20 * mm, rightMargin=12 * mm, topMargin=20 * mm, bottomMargin=20 * mm)
    story = []
    for points, tables in asked["sheets"]:
        style = ParagraphStyle("cell", fontName="face", fontSize=points, leading=1.25 * points)
        for table in tables:
            rows = [[Paragraph(escape(cell), style) for cell in row] for row in table]
            width = page.width / len(rows[0])
            story.append(LongTable(rows, colWidths=[width] * len(rows[0]), repeatRows=1, style=[
                ("GRID", (0, 0), (-1, -1), 0.25, "black"), ("VALIGN", (0, 0), (-1, -1), "TOP")]))
            story.append(Spacer(1, 4 * mm))
        story.append(PageBreak())
    page.build(story)
    return out.getvalue()


pdfmetrics.registerFont(TTFont("face", asked["face"]))
made = lay()
with open(f"{tempfile.gettempdir()}/beside-reportlab.pdf", "wb") as file:
    file.write(made)
times = []
while len(times) < 5:
    begin = time.process_time()
    lay()
    times.append(time.process_time() - begin)
json.dump(dict(version=reportlab.Version, cells=cells, bytes=len(made), seconds=statistics.median(times)), sys.stdout)
