//! What is the same on the panels of all people: labels, procedures, fine print.

use super::{BackgroundInput, RuleLine, rule_line};
use crate::papers::sheets::Frame;
use crate::papers::sheets::area::Area;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::process::socket::sheets::card::{Face, Item, Line, Phrase, Type};
use crate::published::Library;

/// Type sizes in points, before a larger card is drawn larger.
const TITLE_PT: f64 = 8.5;
const ORGANIZATION_PT: f64 = 7.0;
const LABEL_PT: f64 = 8.0;
const VALUE_PT: f64 = 9.0;
const FINE_PT: f64 = 6.4;
/// From line to line of labels and of fine print, in millimeters.
const PITCH: f64 = 3.1;
const ALONE_PITCH: f64 = 3.5;
const FINE_PITCH: f64 = 2.5;

struct Drawn {
    items: Vec<Item>,
}

impl Drawn {
    fn line(&mut self, x_mm: f64, base_mm: f64, line: Line) {
        self.items.push(Item::Line {
            x_mm,
            base_mm,
            line,
            white: false,
            heading: false,
        });
    }

    fn rule(&mut self, x_mm: f64, y_mm: f64, width_mm: f64) {
        self.items.push(Item::Rule {
            x_mm,
            y_mm,
            width_mm,
            pt: 0.9,
        });
    }
}

/// The items of the person's panel; `None` if a text does not fit.
pub(super) fn face(
    input: &BackgroundInput<'_>,
    organization: &str,
    limits: &Library,
) -> Option<Face> {
    let first = &input.procedures.first()?.card;
    let words: &Clauses = &first.frame.words;
    let panel = input.panel;
    let grow = panel.grow;
    let (left, width) = (panel.left_mm, panel.right_mm - panel.left_mm);
    let mut drawn = Drawn { items: Vec::new() };
    let bar = Area {
        x_mm: left,
        y_mm: left,
        width_mm: width,
        height_mm: panel.bar_mm,
    };
    head(&mut drawn, bar, words, organization, grow);
    let label = Type::regular(LABEL_PT * grow);
    let badge = Phrase::new(&words.render(Clause::WalletBadge), label).line();
    drawn.line(left, panel.badge_base_mm, badge);
    let single = input.procedures.len() == 1;
    let mut shift = 0.0;
    for (row, procedure) in panel.rows.iter().zip(input.procedures) {
        drawn.rule(left, row.top_mm, width);
        let through = Phrase::new(&words.render(Clause::WalletThrough), label).line();
        drawn.line(left, row.label_base_mm, through);
        let frame = &procedure.card.frame;
        let value = Type::bold(VALUE_PT * grow);
        if !single {
            let mut lines = number(frame, value).lines(width);
            let line = lines.pop().filter(|_| lines.is_empty())?;
            drawn.line(left, row.number_base_mm, line);
            continue;
        }
        drawn.rule(left, row.until_base_mm + 1.6 * grow, width);
        let lines = alone(frame, width, value, label);
        // Four lines would push down what says that the roster governs.
        let more = lines.len().saturating_sub(2);
        if more > 1 {
            return None;
        }
        shift = more as f64 * ALONE_PITCH * grow;
        let start = row.number_base_mm + 2.2 * grow;
        for (at, line) in lines.into_iter().enumerate() {
            drawn.line(left, start + ALONE_PITCH * grow * at as f64, line);
        }
    }
    drawn.rule(left, panel.fixed_top_mm + shift, width);
    fixed(&mut drawn, input, words, limits, shift)?;
    Some(Face {
        lang: first.frame.lang,
        items: drawn.items,
    })
}

/// The bar at the top: what the card is for, and who issues it.
fn head(drawn: &mut Drawn, bar: Area, words: &Clauses, organization: &str, grow: f64) {
    let title = Type::bold(TITLE_PT * grow);
    let title = Phrase::new(&words.render(Clause::WalletTitle), title).line();
    let room = bar.width_mm - title.width_mm - 3.5 * grow;
    drawn.items.push(Item::Fill {
        area: bar,
        black: true,
    });
    let base = bar.y_mm + (bar.height_mm + title.capitals()) / 2.0;
    let white = |x_mm: f64, base_mm: f64, line: Line| Item::Line {
        x_mm,
        base_mm,
        line,
        white: true,
        heading: false,
    };
    // A long name is left to the procedure.
    let sizes = [ORGANIZATION_PT, FINE_PT];
    let name = sizes
        .into_iter()
        .map(|pt| Phrase::new(organization, Type::bold(pt * grow)))
        .find(|name| name.width() <= room);
    if let Some(name) = name.map(|name| name.line()) {
        let x = bar.x_mm + bar.width_mm - name.width_mm - 1.2 * grow;
        drawn.items.push(white(x, base, name));
    }
    drawn.items.push(white(bar.x_mm + 1.2 * grow, base, title));
}

fn number(frame: &Frame, of: Type) -> Phrase {
    let revision = format!("{} {}", frame.revision_label, frame.revision);
    Phrase::new(&frame.number, of).after(2.0, &revision, of)
}

/// A single procedure: its number and revision, and from when it counts; in one
/// paragraph, if that takes fewer lines.
fn alone(frame: &Frame, width: f64, value: Type, label: Type) -> Vec<Line> {
    let number = number(frame, value);
    let effective = Phrase::new(&frame.effective_line, label);
    let mut lines = number.lines(width);
    lines.extend(effective.lines(width));
    let together = number.dot(effective).lines(width);
    if together.len() < lines.len() {
        together
    } else {
        lines
    }
}

/// That the roster governs, and under it, beside the code, where the dates come
/// from.
fn fixed(
    drawn: &mut Drawn,
    input: &BackgroundInput<'_>,
    words: &Clauses,
    limits: &Library,
    shift: f64,
) -> Option<()> {
    let say = |clause| words.render(clause);
    let panel = input.panel;
    let grow = panel.grow;
    let (left, width) = (panel.left_mm, panel.right_mm - panel.left_mm);
    let (label, fine) = (
        Type::regular(LABEL_PT * grow),
        Type::regular(FINE_PT * grow),
    );
    let bold = Type::bold(LABEL_PT * grow);
    let mut base = panel.fixed_top_mm + shift + 3.4 * grow;
    let roster = [
        Phrase::new(&say(Clause::WalletRoster), bold),
        Phrase::new(&say(Clause::WalletVoid), label),
    ];
    for line in roster.iter().flat_map(|phrase| phrase.lines(width)) {
        drawn.line(left, base, line);
        base += PITCH * grow;
    }
    let rules = rules(input, words, limits);
    let (x, room, top) = match panel.code_mm {
        Some((code_left, code_top, side)) => {
            let x = code_left + side + 2.0;
            if base - PITCH * grow > code_top - 1.6 {
                return None;
            }
            (x, panel.right_mm - x, code_top + fine.capitals())
        }
        None => (left, width, base + 0.6 * grow),
    };
    let date = say(Clause::WalletAsOf {
        date: input.as_of.to_string(),
    });
    let mut lines = Phrase::new(&date, label).lines(room);
    let dated = lines.len();
    for rule in &rules {
        let phrase = Phrase::new(&rule.text, fine).mark(rule.verify, LABEL_PT * grow);
        lines.extend(phrase.lines(room));
    }
    if rules.iter().any(|rule| rule.verify) {
        let mark = Phrase::from_mark(LABEL_PT * grow);
        let legend = &input.procedures.first()?.card.legend;
        lines.extend(mark.then(legend, fine).lines(room));
    }
    if let Some(key) = input.key {
        let key = key.to_owned();
        let key = say(Clause::WalletKey { key });
        lines.extend(Phrase::new(&key, fine).lines(room));
    }
    let mut base = top;
    for (at, line) in lines.into_iter().enumerate() {
        if at > 0 {
            base += grow * if at < dated { PITCH } else { FINE_PITCH + 0.15 };
        }
        // What does not fit stands in the list of fusers.
        if base > panel.bottom_mm + 0.01 {
            break;
        }
        drawn.line(x, base, line);
    }
    Some(())
}

/// The rule sets that the dates come from, each once.
fn rules(input: &BackgroundInput<'_>, words: &Clauses, limits: &Library) -> Vec<RuleLine> {
    let mut rules: Vec<RuleLine> = Vec::new();
    let of_procedures = input.procedures.iter().filter_map(|of| of.rule);
    for line in of_procedures.map(|rule| rule_line(rule, limits, words)) {
        if !rules.contains(&line) {
            rules.push(line);
        }
    }
    rules
}
