// What the bound papers share: colours, type sizes, how a string is shown, the
// cell of a figure, the status marking and the page frame.
// Everything a user wrote arrives as a JSON string and is shown as text; no
// template may call `eval`.
#import "/pages/marks.typ": about, fonts, status-box, verify-mark
#import "/pages/sizes.typ": size-alone, sizes

// Black and one grey on white: 21:1 and 9.4:1, so a photocopy stays readable.
#let ink = luma(0)
#let grey = luma(70)
#let hair = 0.4pt + luma(110)
#let rule = 0.6pt + ink
#let heavy = 1.2pt + ink

// Type sizes, the old printers' scale. Nothing is smaller than `fine`, whose
// lower case is 1.5 mm high.
#let size = (
  fine: 8pt,
  small: 9pt,
  body: 10pt,
  figure: 12pt,
  section: 14pt,
  critical: 18pt,
  title: 21pt,
)

// Height of a capital or figure, as a share of the type size, in Noto Sans.
#let cap = 0.714em

// The line of the text: body type with 30 % beyond its size. Every distance
// from line to line is a whole number of its quarters.
#let beat = 13pt

/// The space that brings the base line of a line in `size` a number of quarters
/// of a beat below the one before it.
#let quarters(n, size: size.body) = n * beat / 4 - cap.em * size

// A unit stays on the line of its figure. The list is that of the units the
// papers print; a unit missing here only loses the tie.
#let unit-tie = regex("([\d¼½¾⅛⅜⅝⅞]) (°F|°C|%|(?:in|mm|s|min|h|psi|bar|IPS|CTS)\b)")
// Nor does a dimension ratio leave its letters.
#let ratio-tie = regex("\b(S?DR) (\d)")
// Nor does a scale leave its word.
#let scale-tie = regex("(\S) (\d:\d)")
// A run without a place to break may break at every eighth character rather
// than run off the paper. Addresses keep their own breaks, to copy cleanly.
#let long-run = regex("[^\\s/-]{25,}")
#let part = regex(".{1,8}")

/// A string as text, with the fractions of a size, and the breaks a figure
/// needs and a long run allows.
#let plain(string) = {
  let tie = m => m.captures.first() + "\u{a0}" + m.captures.last()
  let tied = sizes(string).replace("\t", " ").replace(unit-tie, tie).replace(ratio-tie, tie).replace(scale-tie, tie)
  tied.replace(long-run, m => m.text.matches(part).map(p => p.text).join("\u{200b}"))
}

/// Words of ours in which commands and options of the program stand out.
#let commands(string) = {
  show regex("coldring [a-z]+( [A-Z]{2,}| --[a-z]+(-[a-z]+)*)*|--[a-z]+(-[a-z]+)*"): set text(weight: "bold")
  plain(string)
}

/// A body in its own language, where that is not the paper's.
#let in-language(lang, body) = if lang == none { body } else { text(lang: lang, body) }

/// Whether the strings are short enough to be held together on one page.
#let short(limit: 1000, ..strings) = strings.pos().map(str.len).sum(default: 0) < limit

/// Whether the smaller line of a CELL is unconfirmed.
#let sub-verify(data) = data.at("sub_verify", default: false)

/// A CELL: its figure, the verify mark, and the smaller line below.
/// `slot` keeps the mark's room in cells without one, so that a right-aligned
/// or centred column of figures stays in line. `strut` is the height of the
/// row's tallest figure, which puts all the row's figures on one baseline.
#let cell(
  data,
  figure-size: size.body,
  strong-size: size.critical,
  mark-size: size.body,
  sub-size: size.fine,
  side: "left",
  slot: false,
  strut: 0pt,
) = {
  let place-of(held) = text(size: mark-size, box(width: 1.25em, align(right, held)))
  // One line of the cell: centred figures keep the mark's room on both sides.
  let with-mark(shown, verify) = {
    if slot and side == "center" { place-of(none) }
    shown
    if verify { place-of(verify-mark) } else if slot and side != "left" { place-of(none) }
  }
  box(height: strut)
  with-mark(
    if data.strong {
      text(size: strong-size, weight: "bold", plain(size-alone(data.text)))
    } else {
      text(size: figure-size, plain(data.text))
    },
    data.verify,
  )
  if data.sub != none {
    linebreak()
    with-mark(text(size: sub-size, fill: grey, plain(data.sub)), sub-verify(data))
  }
}

/// Whether the paper must not be worked from without a second look.
#let marked(frame) = frame.status in ("draft", "withdrawn")

/// A band across the page that repeats the status, so that no part of a page
/// can be copied and pass for a working paper.
#let status-band(frame) = {
  let solid = frame.status == "withdrawn"
  let word = text(
    size: size.body,
    weight: "bold",
    tracking: 0.12em,
    fill: if solid { white } else { ink },
    plain(frame.status_line),
  )
  block(
    width: 100%,
    inset: (x: 3mm, y: 1.3mm),
    fill: if solid { ink } else { white },
    stroke: heavy,
    grid(columns: (1fr, 1fr, 1fr), align: (left, center, right), word, word, word),
  )
}

// The fonts have no slashed zero, so the slash is drawn; the text stays "0".
#let slashed-zero(it) = box({
  it
  place(bottom + center, dy: -0.08em, line(start: (0pt, 0.55em), end: (0.26em, 0pt), stroke: 0.05em))
})

/// The spec's digest, zeros slashed so as not to read as "O".
#let digest(frame) = {
  show "0": slashed-zero
  plain(frame.digest)
}

// ---- The house style -----------------------------------------------------

// Colors of a house touch headings, its name, and the rules at head and foot;
// never a figure, a caution or a mark.
#let house-color(frame, which, usual) = {
  let color = if frame.house != none { frame.house.at(which) }
  if color == none { usual } else { rgb(color) }
}
#let heading-color(frame) = house-color(frame, "primary", ink)
#let frame-rule(frame) = {
  let color = house-color(frame, "accent", none)
  if color == none { rule } else { 1.2pt + color }
}

/// The logo in a box of at most this size, left in it; nothing without a house.
#let logo(frame, width, height) = if frame.house != none and frame.house.logo != none {
  context {
    let drawn(..size) = image(frame.house.logo, alt: frame.house.name, ..size)
    let high = drawn(height: height)
    if measure(high).width <= width { high } else { drawn(width: width) }
  }
}

/// Logo, name, address and how to reach the house, above the title of a paper.
/// A rule would part it from what it issues, so there is none.
#let letterhead(frame) = if frame.house != none {
  let house = frame.house
  let lines(items) = {
    set text(size: size.fine)
    items.join(linebreak())
  }
  let contact(it) = if it.link == none { plain(it.text) } else { link(it.link, plain(it.text)) }
  let name = text(size: size.figure, weight: "bold", fill: heading-color(frame), plain(house.name))
  let reach = grid(
    columns: (1fr, 1fr),
    column-gutter: 6mm,
    row-gutter: 2mm,
    grid.cell(colspan: 2, name),
    lines(house.address.map(plain)),
    lines(house.contacts.map(contact)),
  )
  let mark = logo(frame, 45mm, 16mm)
  block(width: 100%, above: 0pt, below: quarters(7), if mark == none { reach } else {
    grid(columns: (auto, 1fr), column-gutter: 6mm, align: left + horizon, mark, reach)
  })
}

// Page margins. Section numbers hang in the gutter left of the text; header,
// footer and status bands span it.
#let edge = 18mm
#let gutter = 9mm
// From the paper's edge to a status band.
#let band-distance = 13mm

// Header and footer have a fixed height and are cut off beyond it, so that no
// name, however long, can push them into the text or off the paper.
#let running-header(frame) = pad(left: -gutter, {
  set text(size: size.fine)
  // The first page has the letterhead.
  let mark = if frame.house != none and frame.house.logo != none {
    context if counter(page).get().first() > 1 { box(inset: (right: 3mm), logo(frame, 24mm, 6.2mm)) }
  }
  block(height: 7.8mm, width: 100%, inset: (top: 0.8mm), clip: true, align(top, grid(
    columns: (auto, 1fr),
    mark,
    grid(
      columns: (1fr, auto),
      column-gutter: 6mm,
      row-gutter: 1.5mm,
      align: (left, right),
      text(weight: "bold", fill: heading-color(frame), plain(frame.organization)),
      {
        text(weight: "bold", plain(frame.number))
        h(3mm)
        plain(frame.revision_label + " " + frame.revision)
        h(3mm)
        plain(frame.date)
      },
      text(fill: grey, in-language(frame.text_lang, plain(frame.title))),
      if not marked(frame) { text(fill: grey, plain(frame.status_line)) },
    ),
  )))
  v(0.4mm, weak: true)
  line(length: 100%, stroke: frame-rule(frame))
})

#let running-footer(frame) = pad(left: -gutter, {
  // With the digest of a house style the Spanish line needs all the room there is.
  let tight = frame.house_line != none
  let apart = if tight { 1mm } else { 2mm }
  set text(size: size.fine)
  line(length: 100%, stroke: frame-rule(frame))
  v(1mm, weak: true)
  block(height: 4.2mm, width: 100%, inset: (top: 0.8mm), clip: true, grid(
    columns: (auto, 1fr, auto),
    column-gutter: if tight { 2mm } else { 6mm },
    align: (left, center, right),
    {
      [#plain(frame.digest_label) #digest(frame) #h(apart)]
      if frame.house_line != none [#plain(frame.house_line) #h(apart)]
      plain(frame.tables_line)
    },
    text(weight: "bold", plain(frame.check_line)),
    context [#plain(frame.page_label) #counter(page).display() #plain(frame.of_label) #counter(page).final().first()],
  ))
})

// Of the files that a paper is made from.
#let mime-types = (
  yaml: "application/yaml",
  typ: "text/plain",
  svg: "image/svg+xml",
  png: "image/png",
)

/// The page frame of a bound paper: document data, the attached spec, running
/// header and footer, and the status on every page. Used as a show rule.
#let page-frame(frame, flipped: false, body) = {
  let (year, month, day) = frame.date_parts
  set document(
    title: frame.document_title,
    author: frame.organization,
    ..about(frame),
    date: datetime(year: year, month: month, day: day),
  )
  set page(
    paper: frame.paper,
    flipped: flipped,
    // The footer prints the number; this makes it the page's label as well.
    numbering: "1",
    margin: (
      left: edge + gutter,
      right: edge,
      top: if marked(frame) { 36mm } else { 29mm },
      bottom: if marked(frame) { 30mm } else { 23mm },
    ),
    header: running-header(frame),
    footer: running-footer(frame),
    header-ascent: 6mm,
    footer-descent: 6mm,
    background: if marked(frame) {
      set text(font: fonts)
      for (side, dy) in ((top, band-distance), (bottom, -band-distance)) {
        place(side, dy: dy, pad(x: edge, status-band(frame)))
      }
    },
  )
  set text(
    font: fonts,
    size: size.body,
    lang: frame.lang,
    fill: ink,
    hyphenate: false,
    fallback: false,
  )
  set par(leading: quarters(4), spacing: quarters(5), justify: false)
  for name in json("/attached.json") {
    pdf.attach(
      "/attached/" + name,
      relationship: "source",
      mime-type: mime-types.at(name.split(".").last(), default: "application/octet-stream"),
      description: frame.number + ", " + frame.digest_label + " " + frame.digest,
    )
  }
  body
}
