"""Renders the Markdown of each page with cmark-gfm, GitHub's own renderer, and holds it against the HTML page of the same report: each
piece of text of the one (a cell, an item, a paragraph, a heading) stands in the other, in tables of the same cells; and nothing that
a recording says has become a link, a picture, code or markup.
usage: check_markdown.py PAGE.html...    the Markdown lies beside it as PAGE.md; exit 77 without cmark-gfm"""
import html.parser
import pathlib
import re
import shutil
import subprocess
import sys

extensions = ["table", "strikethrough", "autolink", "tagfilter", "tasklist"]  # those of GitHub
written_by_us = {"h1", "h2", "h3", "p", "ul", "li", "strong", "em", "table", "thead", "tbody", "tr", "th", "td", "br"}
ends_a_piece = {"h1", "h2", "h3", "p", "li", "dt", "dd", "td", "th", "caption", "div", "section", "header", "main", "figcaption", "ul",
                "tr", "table", "strong", "em", "code"}
# Drawings and what explains them, what only ears hear, links beside an answer, and the program's name below.
unseen_tags = {"svg", "style", "script", "summary", "sup", "footer"}
unseen_classes = {"skip", "terms", "key", "vh"}
of_a_drawing = {"small"}  # the title of one of several charts: Markdown names it only beside a remark
raised = str.maketrans("", "", "¹²³⁴⁵⁶⁷⁸⁹⁰\u2066\u2067\u2068\u2069")


def plain(text):
    return " ".join(text.translate(raised).split())


class Page(html.parser.HTMLParser):
    """What a reader sees: pieces of text, tables as rows of cells; and all elements."""

    def __init__(self, text):
        super().__init__()
        self.pieces, self.of_drawings, self.tables, self.elements = [], [], [], set()
        self.in_drawing = False
        self.piece, self.cell, self.hidden_by, self.depth = "", None, None, 0
        self.feed(text[max(0, text.find("<body")) :])
        self.close()
        self.end_piece()
        self.whole = " ".join(self.pieces + self.of_drawings).replace(" , ", ", ")
        self.cut = [seen.removesuffix("...") for seen in self.pieces if seen.endswith("...") and len(seen) > 300]  # long headings

    def end_piece(self):
        if plain(self.piece):
            (self.of_drawings if self.in_drawing else self.pieces).append(plain(self.piece))
        self.piece = ""

    def handle_starttag(self, tag, attributes):
        if self.hidden_by is not None:
            self.depth += tag == self.hidden_by
            return
        classes = set((dict(attributes).get("class") or "").split())
        if tag in unseen_tags or classes & unseen_classes:
            self.hidden_by, self.depth = tag, 1
            return
        self.elements.add(tag)
        if tag in ends_a_piece:
            self.end_piece()
            self.in_drawing = bool(classes & of_a_drawing)
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.cell = ""

    def handle_endtag(self, tag):
        if self.hidden_by is not None:
            self.depth -= tag == self.hidden_by
            if self.depth == 0:
                self.hidden_by = None
            return
        if tag in ends_a_piece:
            self.end_piece()
            self.in_drawing = False
        if tag in ("td", "th"):
            self.tables[-1][-1].append(plain(self.cell))
            self.cell = None

    def handle_data(self, text):
        if self.hidden_by is not None:
            return
        self.piece += text
        if self.cell is not None:
            self.cell += text


def rendered(path):
    command = ["cmark-gfm", "--to", "html"]
    for extension in extensions:
        command += ["-e", extension]
    return subprocess.run(command, stdin=path.open("rb"), capture_output=True, check=True).stdout.decode()


def bare(piece):
    """Without what joins the parts of a definition: HTML has 'Source: our choice', Markdown '(sd). ...' and 'our choice.'"""
    piece = re.sub(r"^(, [^()]*)?\(([a-z0-9_]+)\)\. ", "", piece)
    return re.sub(r"^Source: ", "", piece).rstrip(".")


def stands_in(piece, page):
    return bare(piece) in page.whole or any(piece.startswith(beginning) for beginning in page.cut)


def faults_of(path):
    markup = rendered(path.with_suffix(".md"))
    markdown, page = Page(markup), Page(path.read_text())
    faults = [f"Markdown became <{tag}>" for tag in sorted(markdown.elements - written_by_us)]
    if "raw HTML omitted" in markup:
        faults.append("Markdown holds raw HTML")
    for name, one, other in (("HTML", page, markdown), ("Markdown", markdown, page)):
        faults += [f"only in {name}: {piece[:160]!r}" for piece in one.pieces if not stands_in(piece, other)]
    faults += [f"no such table in Markdown: {table[0]}" for table in page.tables if table not in markdown.tables]
    return faults, markdown, page


def main():
    if shutil.which("cmark-gfm") is None:
        print("skipped: no cmark-gfm here")
        return 77
    wrong = pieces = tables = 0
    for name in sys.argv[1:]:
        faults, markdown, page = faults_of(pathlib.Path(name))
        wrong += len(faults)
        pieces += len(page.pieces)
        tables += len(page.tables)
        for fault in faults:
            print(f"{name}: {fault}")
    print(f"{len(sys.argv) - 1} pages, {pieces} pieces of text and {tables} tables in both, {wrong} faults")
    return 1 if wrong or pieces == 0 or tables == 0 else 0


if __name__ == "__main__":
    sys.exit(main())
