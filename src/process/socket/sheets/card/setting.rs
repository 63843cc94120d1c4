//! Lines of type on a card, broken and placed by the widths of the fonts before
//! anything is laid out. No template measures.

use serde::Serialize;

use crate::papers::fonts::{line_width, regular_width};

pub(crate) const MM_PER_POINT: f64 = 25.4 / 72.0;
/// Height of capitals as a fraction of the type size, in Noto Sans.
pub(crate) const CAPITALS: f64 = 0.714;
/// From the end of a number to its mark, as a fraction of the mark's width.
const MARK_GAP: f64 = 0.25;

/// A size and weight of type.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(crate) struct Type {
    pub(crate) pt: f64,
    pub(crate) bold: bool,
}

impl Type {
    pub(crate) const fn bold(pt: f64) -> Self {
        Self { pt, bold: true }
    }

    pub(crate) const fn regular(pt: f64) -> Self {
        Self { pt, bold: false }
    }

    /// Width of a text in millimeters.
    pub(crate) fn width(self, text: &str) -> f64 {
        let width = if self.bold { line_width } else { regular_width };
        width(text, self.pt).mm()
    }

    /// Height of its capitals in millimeters.
    pub(crate) fn capitals(self) -> f64 {
        self.pt * CAPITALS * MM_PER_POINT
    }
}

/// Width of the mark of an unconfirmed number with the gap before it, in
/// millimeters; `pt` is its size.
pub(crate) fn mark_room(pt: f64) -> f64 {
    pt * MM_PER_POINT * (1.0 + MARK_GAP)
}

/// Text in one type at its place in a line, or the mark of an unconfirmed number.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Run {
    /// From the start of the line.
    pub(crate) x_mm: f64,
    pub(crate) text: String,
    #[serde(flatten)]
    pub(crate) of: Type,
    pub(crate) mark: bool,
}

/// A line without its place.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub(crate) struct Line {
    pub(crate) runs: Vec<Run>,
    pub(crate) width_mm: f64,
}

impl Line {
    /// Height of its highest capitals.
    pub(crate) fn capitals(&self) -> f64 {
        let capitals = self.runs.iter().map(|run| run.of.capitals());
        capitals.fold(0.0, f64::max)
    }
}

#[derive(Debug, Clone)]
struct Atom {
    text: String,
    of: Type,
    mark: bool,
    /// Space before it, unless it starts a line.
    gap: f64,
    /// Whether a line may start with it.
    may_break: bool,
}

impl Atom {
    fn width(&self) -> f64 {
        if self.mark {
            self.of.pt * MM_PER_POINT
        } else {
            self.of.width(&self.text)
        }
    }
}

/// Words in one or more types, to be broken into lines.
#[derive(Debug, Clone, Default)]
pub(crate) struct Phrase(Vec<Atom>);

impl Phrase {
    pub(crate) fn new(text: &str, of: Type) -> Self {
        Self::default().then(text, of)
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Adds words after a space.
    pub(crate) fn then(self, text: &str, of: Type) -> Self {
        let space = of.width(" ");
        self.after(space, text, of)
    }

    /// Adds words after a gap in millimeters.
    pub(crate) fn after(mut self, gap: f64, text: &str, of: Type) -> Self {
        let tied = tie_units(text);
        let space = of.width(" ");
        for (at, word) in tied.split_whitespace_but_ties().enumerate() {
            self.0.push(Atom {
                text: word.to_owned(),
                of,
                mark: false,
                gap: if at == 0 { gap } else { space },
                may_break: true,
            });
        }
        self
    }

    /// Adds the mark of an unconfirmed number.
    pub(crate) fn mark(self, marked: bool, pt: f64) -> Self {
        if !marked {
            return self;
        }
        self.with_mark(pt, MARK_GAP)
    }

    /// Starts with the mark, as a legend does.
    pub(crate) fn from_mark(pt: f64) -> Self {
        Self::default().with_mark(pt, 0.0)
    }

    fn with_mark(mut self, pt: f64, gap: f64) -> Self {
        self.0.push(Atom {
            text: "?".to_owned(),
            of: Type::bold(pt),
            mark: true,
            gap: pt * MM_PER_POINT * gap,
            may_break: false,
        });
        self
    }

    /// Keeps it in one line.
    pub(crate) fn tied(mut self) -> Self {
        for atom in self.0.iter_mut().skip(1) {
            atom.may_break = false;
        }
        self
    }

    /// Adds another phrase after a dot.
    pub(crate) fn dot(mut self, other: Phrase) -> Self {
        let Some(first) = other.0.first() else {
            return self;
        };
        if self.is_empty() {
            return other;
        }
        let dot = Type::regular(first.of.pt);
        self.0.push(Atom {
            text: "·".to_owned(),
            of: dot,
            mark: false,
            gap: dot.width(" "),
            may_break: false,
        });
        let gap = dot.width(" ");
        self.joined(gap, other)
    }

    /// Adds another phrase after a gap in millimeters.
    pub(crate) fn joined(mut self, gap: f64, other: Phrase) -> Self {
        for (at, atom) in other.0.into_iter().enumerate() {
            self.0.push(match at {
                0 => Atom {
                    gap,
                    may_break: true,
                    ..atom
                },
                _ => atom,
            });
        }
        self
    }

    /// Width in one line, in millimeters.
    pub(crate) fn width(&self) -> f64 {
        let atoms = self.0.iter().enumerate();
        atoms
            .map(|(at, atom)| atom.width() + if at == 0 { 0.0 } else { atom.gap })
            .sum()
    }

    /// Everything in one line.
    pub(crate) fn line(&self) -> Line {
        self.lines(f64::INFINITY)
            .into_iter()
            .next()
            .unwrap_or_default()
    }

    /// Breaks it into lines no wider than `width` millimeters. A word that is
    /// wider alone may break anywhere.
    pub(crate) fn lines(&self, width: f64) -> Vec<Line> {
        let mut breaker = Breaker {
            width,
            lines: Vec::new(),
            line: Line::default(),
        };
        for group in self.0.chunk_by(|_, next| !next.may_break) {
            breaker.add(group);
        }
        breaker.finish()
    }
}

struct Breaker {
    width: f64,
    lines: Vec<Line>,
    line: Line,
}

impl Breaker {
    /// Adds atoms that stay together.
    fn add(&mut self, group: &[Atom]) {
        let inner = group.iter().skip(1).map(|atom| atom.gap + atom.width());
        let Some(first) = group.first() else { return };
        let own = first.width() + inner.sum::<f64>();
        if !self.line.runs.is_empty() && self.line.width_mm + first.gap + own > self.width {
            self.end_line();
        }
        if own > self.width {
            for atom in group {
                self.add_broken(atom);
            }
            return;
        }
        for atom in group {
            self.push(atom, &atom.text, atom.gap);
        }
    }

    /// Adds an atom that is too wide for a line.
    fn add_broken(&mut self, atom: &Atom) {
        let mut part = String::new();
        for c in atom.text.chars() {
            part.push(c);
            let used = if self.line.runs.is_empty() {
                0.0
            } else {
                self.line.width_mm + atom.gap
            };
            if used + atom.of.width(&part) > self.width && part.chars().count() > 1 {
                part.pop();
                self.push(atom, &part, atom.gap);
                self.end_line();
                part = c.to_string();
            }
        }
        self.push(atom, &part, atom.gap);
    }

    fn push(&mut self, atom: &Atom, text: &str, gap: f64) {
        let gap = if self.line.runs.is_empty() { 0.0 } else { gap };
        let width = Atom {
            text: text.to_owned(),
            ..atom.clone()
        }
        .width();
        let x_mm = self.line.width_mm + gap;
        self.line.width_mm = x_mm + width;
        let is_space = (gap - atom.of.width(" ")).abs() < 1e-9;
        if let Some(last) = self.line.runs.last_mut()
            && last.of == atom.of
            && !last.mark
            && !atom.mark
            && is_space
        {
            last.text.push(' ');
            last.text.push_str(text);
            return;
        }
        self.line.runs.push(Run {
            x_mm,
            text: text.to_owned(),
            of: atom.of,
            mark: atom.mark,
        });
    }

    fn end_line(&mut self) {
        let mut line = std::mem::take(&mut self.line);
        for run in &mut line.runs {
            // Runs are not broken again.
            run.text = run.text.replace(TIE, " ");
        }
        // A dot between two things does not end a line.
        if let Some(last) = line.runs.last_mut() {
            let kept = last.text.trim_end_matches(" ·").len();
            last.text.truncate(kept);
        }
        if line.runs.last().is_some_and(|run| run.text == "·") {
            line.runs.pop();
        }
        self.lines.push(line);
    }

    fn finish(mut self) -> Vec<Line> {
        if !self.line.runs.is_empty() {
            self.end_line();
        }
        self.lines
    }
}

/// A space that does not break a line.
const TIE: char = '\u{a0}';

/// Units that stay on the line of their number.
const UNITS: [&str; 9] = ["°F", "°C", "s", "min", "h", "mm", "in", "in.", "%"];

/// Ties units to their numbers, and numbers to the word that says what they are.
fn tie_units(text: &str) -> String {
    let mut tied = String::new();
    let mut last = "";
    for word in text.split(' ') {
        let bare = word.trim_end_matches([',', '.', ';', ':']);
        let is_unit = UNITS.contains(&bare) && last.ends_with(|c: char| c.is_ascii_digit());
        let is_ratio = ["DR", "SDR"].contains(&last);
        if !tied.is_empty() {
            tied.push(if is_unit || is_ratio { TIE } else { ' ' });
        }
        tied.push_str(word);
        last = word;
    }
    tied
}

trait Words {
    fn split_whitespace_but_ties(&self) -> impl Iterator<Item = &str>;
}

impl Words for String {
    fn split_whitespace_but_ties(&self) -> impl Iterator<Item = &str> {
        let spaces = |c: char| c.is_whitespace() && c != TIE;
        self.split(spaces).filter(|word| !word.is_empty())
    }
}
