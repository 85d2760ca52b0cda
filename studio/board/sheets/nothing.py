"""A print on which nothing stands yet says what to do."""

from studio.paper.blocks import Paragraph
from studio.paper.flow import Flow
from studio.paper.pages import Page
from studio.paper.pdf import pdf


def nothing_pdf(title: str, sentence: str, page: Page) -> bytes:
    flow = Flow(page, title=title)
    flow.add(Paragraph(sentence))
    return pdf(page, flow.sheets(), title=title)
