"""The text of a wallet card for each of the other typesetters: two pages of
105 × 74 mm a card, the person on one and the figures on the other. Each has a
plain, usual layout, with tables as tables."""

import html
import json
import pathlib

HERE = pathlib.Path(__file__).resolve().parent
CARD = json.loads((HERE / "card.json").read_text(encoding="utf-8"))

LATEX_TOP = r"""\documentclass{article}
\usepackage[utf8]{inputenc}
\usepackage[T1]{fontenc}
\usepackage{textcomp}
\usepackage[scaled]{helvet}
\usepackage[paperwidth=105mm,paperheight=74mm,margin=4mm]{geometry}
\renewcommand\familydefault\sfdefault
\pagestyle{empty}\parindent0pt\raggedright
"""

LATEX = {"°": r"\textdegree{}", "¼": r"\textonequarter{}", "½": r"\textonehalf{}", "¾": r"\textthreequarters{}", "–": "--"}


def latex(text):
    for sign, command in LATEX.items():
        text = text.replace(sign, command)
    return text


def pdflatex(people, boxed):
    """Either every side is set anew, or what is on all cards is set once into a
    box that is placed again."""
    rows = r"\\".join(" & ".join(map(latex, row)) for row in CARD["table"])
    lines = lambda texts: r"\par ".join(map(latex, texts))
    notes = rf"\footnotesize {lines(CARD['notes'])}\par"
    face = (
        rf"\small {lines(CARD['title'])}\par\medskip\begin{{tabular}}{{lrrrr}}{rows}\end{{tabular}}"
        rf"\par\medskip\footnotesize {lines(CARD['below'])}\par"
    )
    top = LATEX_TOP
    if boxed:
        box = lambda name, body: (
            rf"\newsavebox\{name}\AtBeginDocument{{\sbox\{name}{{\begin{{minipage}}[t]{{97mm}}\raggedright "
            rf"{body}\end{{minipage}}}}}}"
        )
        top += box("noted", notes) + box("faced", face)
        notes, face = r"\usebox\noted", r"\usebox\faced"
    cards = [
        rf"{CARD['organization']}\par\medskip{{\large\bfseries {name}}}\par {CARD['badge']} {badge}\par "
        rf"{CARD['procedure']}\par {CARD['until']} {until}\par\medskip {notes}\newpage {{{face}}}\newpage"
        for name, badge, until in people
    ]
    return top + r"\begin{document}" + "\n".join(cards) + r"\end{document}"


def typst(people):
    """Data apart from the template, as one would."""
    data = json.dumps({"card": CARD, "people": people}, ensure_ascii=False)
    template = """#set page(width: 105mm, height: 74mm, margin: 4mm)
#set text(size: 8pt)
#let data = json("data.json")
#let card = data.card
#for (name, badge, until) in data.people [
  #card.organization

  #text(size: 12pt, weight: "bold", name) \\
  #card.badge #badge \\
  #card.procedure \\
  #card.until #until

  #card.notes.map(note => [#note]).join(linebreak())
  #pagebreak()
  #card.title.map(line => [#line]).join(linebreak())
  #table(columns: 5, inset: 2pt, ..card.table.flatten())
  #card.below.map(line => [#line]).join(linebreak())
  #pagebreak(weak: true)
]
"""
    return template, data


def page_html(people):
    """One HTML file with a page break after each side."""
    safe = html.escape
    lines = lambda texts: "<br>".join(map(safe, texts))
    rows = "".join("<tr>" + "".join(f"<td>{safe(cell)}" for cell in row) for row in CARD["table"])
    face = f"<div>{lines(CARD['title'])}<table>{rows}</table>{lines(CARD['below'])}</div>"
    style = "@page{size:105mm 74mm;margin:4mm}body{font:8pt sans-serif}div{break-after:page}"
    cards = (
        f"<div>{safe(CARD['organization'])}<p><b>{safe(name)}</b><br>{CARD['badge']} {badge}<br>"
        f"{CARD['procedure']}<br>{CARD['until']} {until}<p>{lines(CARD['notes'])}</div>{face}"
        for name, badge, until in people
    )
    return f"<!doctype html><meta charset=utf-8><style>{style}</style>{''.join(cards)}"
