"""The text and the tables of a built paper as a plain document: no drawing, no
frame, no layout of its own. What is a heading, a list or a table in the paper's
structure is one here."""

import re
import subprocess

TYPST_TOP = """#set document(title: "{title}")
#set page(paper: "us-letter", margin: 18mm, numbering: "1 of 1")
#set text(font: ("Noto Sans", "DejaVu Sans"), size: 9pt, lang: "en")
"""

LATEX_TOP = r"""\documentclass[9pt]{extarticle}
\usepackage[utf8]{inputenc}
\usepackage[T1]{fontenc}
\usepackage{textcomp,array,longtable}
\usepackage[scaled]{helvet}
\usepackage[letterpaper,margin=18mm]{geometry}
\renewcommand\familydefault\sfdefault
\parindent0pt\parskip4pt\raggedright
"""

# What the usual fonts of LaTeX do not have.
LATEX = {
    "\\": r"\textbackslash{}", "{": r"\{", "}": r"\}", "#": r"\#", "$": r"\$", "%": r"\%", "&": r"\&", "_": r"\_",
    "^": r"\^{}", "~": r"\~{}", "°": r"\textdegree{}", "±": r"\textpm{}", "×": r"\texttimes{}", "·": r"\textperiodcentered{}",
    "–": "--", "—": "---", "−": r"\textminus{}", "’": "'", "“": "``", "”": "''", "•": r"\textbullet{}", "\u00a0": "~",
    "½": r"\textonehalf{}", "¼": r"\textonequarter{}", "¾": r"\textthreequarters{}", "≥": r"$\ge$", "≤": r"$\le$",
}

TEXT, HEAD, ITEM, TABLE = range(4)


def parts(pdf):
    """The paper's parts in reading order: their kind and text, a level with a
    heading, rows with a table."""
    found = []
    gather(structure(pdf), found)
    return found


def structure(pdf):
    command = ["pdfinfo", "-struct-text", pdf]
    shown = subprocess.run(command, check=True, capture_output=True).stdout.decode(errors="replace")
    root = ("Document", [])
    open_nodes = [(-1, root)]
    for line in shown.splitlines():
        said, indent = line.strip(), len(line) - len(line.lstrip())
        if not said or said.startswith("/"):
            continue
        while open_nodes[-1][0] >= indent:
            open_nodes.pop()
        inside = open_nodes[-1][1][1]
        if said.startswith('"'):
            inside.append(said.strip('"'))
        elif name := re.match(r"\w+", said):
            node = (name[0], [])
            inside.append(node)
            open_nodes.append((indent, node))
    return root


def words(node):
    if isinstance(node, str):
        return node
    return " ".join(filter(None, map(words, node[1])))


def is_block(node):
    whole = ("P", "Table", "L", "H1", "H2", "H3")
    return not isinstance(node, str) and (node[0] in whole or any(map(is_block, node[1])))


def gather(node, found):
    if isinstance(node, str):
        found.append((TEXT, node, None))
        return
    kind, inside = node
    if re.fullmatch(r"H\d", kind):
        found.append((HEAD, words(node), int(kind[1])))
    elif kind == "Table":
        found.append((TABLE, "", rows_of(node)))
    elif kind == "LI":
        found.append((ITEM, words(node), None))
    elif kind in ("P", "Span", "Caption") or not is_block(node):
        found.append((TEXT, words(node), None))
    else:
        for child in inside:
            gather(child, found)


def rows_of(node):
    if isinstance(node, str):
        return []
    if node[0] == "TR":
        return [[words(cell) for cell in node[1] if cell[0] in ("TD", "TH")]]
    return [row for child in node[1] for row in rows_of(child)]


def filled(rows):
    columns = max(map(len, rows), default=0)
    return [row + [""] * (columns - len(row)) for row in rows], columns


def typst(found):
    safe = lambda text: re.sub(r"""([\\#*_`$<>@~/\-=+\[\]"'])""", r"\\\1", text)
    lines = [TYPST_TOP.format(title="Plain")]
    for kind, text, more in found:
        if kind == TABLE:
            rows, columns = filled(more)
            cells = ",\n".join(", ".join(f"[{safe(cell)}]" for cell in row) for row in rows)
            lines.append(f"#table(columns: {columns},\n{cells}\n)\n" if columns else "")
        else:
            before = {TEXT: "", HEAD: "=" * (more or 1) + " ", ITEM: "- "}[kind]
            lines.append(f"{before}{safe(text)}\n")
    return "\n".join(lines)


def latex(found):
    def safe(text):
        signs = (LATEX.get(sign, sign if sign.isascii() or sign.isalpha() and ord(sign) < 0x100 else "?") for sign in text)
        return "".join(signs)

    lines = [LATEX_TOP, r"\begin{document}"]
    for kind, text, more in found:
        if kind == TABLE:
            rows, columns = filled(more)
            if columns:
                width = f"p{{{0.9 / columns:.3f}\\linewidth}}"
                cells = "\\\\\\hline\n".join(" & ".join(map(safe, row)) for row in rows)
                lines.append(rf"{{\small\begin{{longtable}}{{{width * columns}}}{cells}\end{{longtable}}}}")
        elif kind == HEAD:
            lines.append(rf"\{'sub' * ((more or 1) - 1)}section*{{{safe(text)}}}")
        else:
            lines.append(("\\textbullet{} " if kind == ITEM else "") + safe(text) + "\n")
    lines.append(r"\end{document}")
    return "\n".join(lines)
