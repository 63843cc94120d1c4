//! Rewrites typst's SVG so browsers draw it quickly. typst-svg draws each letter
//! as a `use` of a glyph, and a browser builds a small document for every one: a
//! page of the procedure took Chromium 100 ms, too long between two keystrokes.
//! Here the letters of a run become one path, and invisible digits are dropped.
//! Anything not in the expected form is left unchanged.

use std::collections::{HashMap, HashSet};

const SYMBOL: &str = "<symbol id=\"";
const SYMBOL_PATH: &str = "\" overflow=\"visible\"><path d=\"M 0 0";
const SYMBOL_END: &str = "\"/></symbol>";
const USE: &str = "<use xlink:href=\"#";
/// Solid fills, which do not depend on the size of the shape.
const PLAIN: &str = " fill=\"#";

/// Decimals kept of a point: a micrometer on paper is 0.003 pt.
const DECIMALS: usize = 3;

/// The picture with the letters of each run joined into one path.
pub(super) fn join_letters(svg: &str) -> String {
    let glyphs: HashMap<_, _> = symbols(svg).filter_map(|(_, symbol)| symbol).collect();
    let glyphs = glyphs.into_iter().map(|(id, path)| (id, shortened(path)));
    let glyphs = glyphs.collect();
    let (drawn, named) = drawn(svg, &glyphs);
    let needless = |id: &str| glyphs.contains_key(id) && !named.contains(id);
    let kept = symbols(&drawn).map(|(whole, symbol)| match symbol {
        Some((id, _)) if needless(id) => "",
        _ => whole,
    });
    kept.collect()
}

/// Splits a picture at its glyphs: each piece of text before one, with the
/// glyph's ID and path.
fn symbols(svg: &str) -> impl Iterator<Item = (&str, Option<(&str, &str)>)> {
    let mut rest = svg;
    std::iter::from_fn(move || {
        let (start, skipped) = match rest.strip_prefix(SYMBOL) {
            Some(symbol) => match glyph(symbol) {
                Some((id, path, after)) => {
                    let (whole, after) = rest.split_at(rest.len() - after.len());
                    rest = after;
                    return Some((whole, Some((id, path))));
                }
                None => (symbol, SYMBOL.len()),
            },
            None => (rest, 0),
        };
        let end = start.find(SYMBOL).unwrap_or(start.len());
        let (whole, after) = rest.split_at(skipped + end);
        rest = after;
        (!whole.is_empty()).then_some((whole, None))
    })
}

/// A glyph's ID and path, relative to where it is used, and the text after it.
fn glyph(symbol: &str) -> Option<(&str, &str, &str)> {
    let (id, path) = symbol.split_once(SYMBOL_PATH)?;
    let (path, after) = path.split_once(SYMBOL_END)?;
    let relative = |c: char| !c.is_ascii_uppercase() || c == 'Z';
    let plain = !id.contains('"') && !path.contains('"') && path.chars().all(relative);
    plain.then_some((id, path, after))
}

/// One use of a glyph: its path, position, and style.
struct Letter<'s, 'g> {
    path: &'g str,
    x: &'s str,
    y: &'s str,
    looks: &'s str,
}

/// The picture with its letters as paths, and the IDs that are still referenced.
fn drawn<'s>(svg: &'s str, glyphs: &HashMap<&str, String>) -> (String, HashSet<&'s str>) {
    let mut named = HashSet::new();
    let mut drawn = String::with_capacity(svg.len() * 2);
    // The style of the path being written.
    let mut open: Option<&str> = None;
    let mut rest = svg;
    while let Some(at) = rest.find(USE) {
        let (before, from) = rest.split_at(at);
        let Some((letter, after)) = letter(from, glyphs) else {
            close(&mut drawn, &mut open);
            drawn.push_str(before);
            drawn.push_str(USE);
            rest = from.strip_prefix(USE).unwrap_or_default();
            named.extend(rest.split('"').next());
            continue;
        };
        if !before.is_empty() || open != Some(letter.looks) {
            close(&mut drawn, &mut open);
            drawn.push_str(before);
            drawn.push_str("<path d=\"");
            open = Some(letter.looks);
        }
        for piece in ["M ", letter.x, " ", letter.y, letter.path] {
            drawn.push_str(piece);
        }
        rest = after;
    }
    close(&mut drawn, &mut open);
    drawn.push_str(rest);
    (drawn, named)
}

fn close(drawn: &mut String, open: &mut Option<&str>) {
    if let Some(looks) = open.take() {
        for piece in ["\"", looks, "/>"] {
            drawn.push_str(piece);
        }
    }
}

/// The letter at the start of `from`, and the text after it.
fn letter<'s, 'g>(
    from: &'s str,
    glyphs: &'g HashMap<&str, String>,
) -> Option<(Letter<'s, 'g>, &'s str)> {
    let (id, from) = from.strip_prefix(USE)?.split_once("\" x=\"")?;
    let (x, from) = from.split_once("\" y=\"")?;
    let (y, from) = from.split_once('"')?;
    let (looks, after) = from.split_once("/>")?;
    let path = glyphs.get(id)?;
    let letter = Letter { path, x, y, looks };
    looks.starts_with(PLAIN).then_some((letter, after))
}

/// A path without invisible decimals.
fn shortened(path: &str) -> String {
    let mut decimals = None;
    let kept = path.chars().filter(|c| {
        decimals = match (c, decimals) {
            ('.', _) => Some(0),
            (c, Some(n)) if c.is_ascii_digit() => Some(n + 1),
            _ => None,
        };
        decimals.is_none_or(|n| n <= DECIMALS)
    });
    kept.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str = "<svg><g transform=\"scale(1 -1)\">";
    const GLYPHS: &str = "</g><defs><symbol id=\"gA\" overflow=\"visible\"><path d=\"M 0 0m 1.23456 -0.5q 1 2 3 4Z \"/></symbol></defs></svg>";

    fn used(id: &str, x: &str, looks: &str) -> String {
        format!("<use xlink:href=\"#{id}\" x=\"{x}\" y=\"0\"{looks}/>")
    }

    #[test]
    fn letters_of_one_look_become_one_path() {
        let black = " fill=\"#000000\" fill-rule=\"nonzero\"";
        let red = " fill=\"#ff0000\" fill-rule=\"nonzero\"";
        let letters = used("gA", "0", black) + &used("gA", "2.5", black) + &used("gA", "5", red);
        let path = "m 1.234 -0.5q 1 2 3 4Z ";
        assert_eq!(
            join_letters(&format!("{HEAD}{letters}{GLYPHS}")),
            format!(
                "{HEAD}<path d=\"M 0 0{path}M 2.5 0{path}\"{black}/>\
                 <path d=\"M 5 0{path}\"{red}/></g><defs></defs></svg>"
            )
        );
    }

    #[test]
    fn unexpected_svg_stays_unchanged() {
        let gradient = used("gA", "0", " fill=\"url(#x)\"");
        let image = "<use xlink:href=\"#gB\" transform=\"scale(2 2)\"/>";
        let unknown = used("gC", "0", " fill=\"#000000\"");
        let absolute =
            "<defs><symbol id=\"gC\" overflow=\"visible\"><path d=\"M 0 0L 1 2\"/></symbol></defs>";
        for svg in [image, &unknown, absolute, "", "<svg", SYMBOL, USE] {
            assert_eq!(join_letters(svg), svg);
        }
        // A glyph that is still referenced by name has to stay.
        let svg = format!("{HEAD}{gradient}{GLYPHS}");
        assert_eq!(join_letters(&svg), svg);
    }
}
