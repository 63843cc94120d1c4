//! Makes output safe for terminals. File names and contents may hold characters
//! that move the cursor, reverse the line, or pile up on one letter: in text
//! they are made visible, in JSON escaped. CSV, YAML, and calendars are files
//! for other programs and stay as they are, except on a terminal.

use std::borrow::Cow;

use unicode_properties::{GeneralCategoryGroup, UnicodeGeneralCategory};

use crate::core::budget::MARKS;

/// How many characters a line of standard error has; none where it is no terminal.
pub(crate) fn width() -> Option<usize> {
    let (width, _) = terminal_size::terminal_size_of(std::io::stderr())?;
    Some(usize::from(width.0))
}

const ESCAPE: char = '\u{1b}';

/// A text without characters that control the terminal.
pub(crate) fn sanitize(text: &str) -> Cow<'_, str> {
    sanitize_except(text, |_| false)
}

/// The same for rendered findings, which keep their colors. The renderer replaces
/// any other escape character itself.
pub(crate) fn sanitize_keeping_color(text: &str) -> Cow<'_, str> {
    sanitize_except(text, |c| c == ESCAPE)
}

/// Equal JSON with such characters escaped. JSON has them only in its strings.
pub(crate) fn sanitize_json(json: &str) -> Cow<'_, str> {
    if json.is_ascii() && !json.chars().any(is_unsafe) {
        return Cow::Borrowed(json);
    }
    let mut out = String::with_capacity(json.len());
    let mut marks = 0;
    for c in json.chars() {
        marks = if is_mark(c) { marks + 1 } else { 0 };
        if is_unsafe(c) || marks > MARKS {
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

fn sanitize_except(text: &str, keep: impl Fn(char) -> bool) -> Cow<'_, str> {
    if text.is_ascii() && !text.chars().any(is_unsafe) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut marks = 0;
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        if is_mark(c) {
            marks += 1;
            if marks <= MARKS {
                out.push(c);
            }
            continue;
        }
        marks = 0;
        // CSV lines end with CR and LF.
        let ends_line = c == '\r' && rest.peek() == Some(&'\n');
        out.push(if is_unsafe(c) && !ends_line && !keep(c) {
            control_picture(c)
        } else {
            c
        });
    }
    Cow::Owned(out)
}

/// Whether it does anything but print. Line feeds and tabs are the program's own.
fn is_unsafe(c: char) -> bool {
    let lays_out = matches!(c, '\n' | '\t');
    // Text direction, invisible spaces and joiners, line separators.
    let invisible = matches!(
        c,
        '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
    );
    c.is_control() && !lays_out || invisible
}

/// Whether it combines with the letter before it.
fn is_mark(c: char) -> bool {
    c.general_category_group() == GeneralCategoryGroup::Mark
}

/// The Unicode picture of a control character.
fn control_picture(c: char) -> char {
    let picture = match u32::from(c) {
        control @ 0..=0x1f => char::from_u32(0x2400 + control),
        0x7f => Some('\u{2421}'),
        _ => None,
    };
    picture.unwrap_or(char::REPLACEMENT_CHARACTER)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_is_shown_and_nothing_else_is_touched() {
        for plain in [
            "wrote out/AF-JP-12-r2/card.pdf\n",
            "½ in, 260 °C\tTomás Wrenfield, Ha\u{323}\u{302}nh\n",
            "\u{5d1}\u{5bc}\u{5b9}",
        ] {
            assert_eq!(sanitize(plain), plain);
        }
        // ISO 6429: ESC, and CSI as one character; then the marks of a reversed line.
        assert_eq!(sanitize("a\u{1b}[2Jb"), "a␛[2Jb");
        assert_eq!(sanitize("a\u{9b}2Jb\r\u{7f}"), "a\u{fffd}2Jb␍␡");
        assert_eq!(sanitize("\u{202e}fdp.drac"), "\u{fffd}fdp.drac");
    }

    #[test]
    fn marks_on_one_letter_have_an_end() {
        let marks = |count| "\u{301}".repeat(count);
        let near = format!("e{}x", marks(MARKS));
        assert_eq!(sanitize(&near), near);
        let far = format!("e{}x", marks(1000));
        assert_eq!(sanitize(&far), near);
    }

    #[test]
    fn colors_stay_where_the_renderer_writes_them() {
        let colored = "\u{1b}[1merror\u{1b}[0m: é\u{9b}";
        assert_eq!(
            sanitize_keeping_color(colored),
            "\u{1b}[1merror\u{1b}[0m: é\u{fffd}"
        );
    }

    #[test]
    fn json_says_the_same() {
        let marks = "\u{301}".repeat(6) + &"\u{1e8d0}".repeat(6);
        let name = format!("a\u{1b}\u{7f}\u{9b}\u{202e}e{marks}");
        let value = serde_json::json!({ "file": name });
        let json = serde_json::to_string(&value).unwrap();
        let shown = sanitize_json(&json);
        assert!(!shown.chars().any(is_unsafe), "{shown}");
        assert!(!shown.contains(&"\u{301}".repeat(MARKS + 1)), "{shown}");
        let read: serde_json::Value = serde_json::from_str(&shown).unwrap();
        assert_eq!(read, value);
        assert_eq!(
            sanitize_json("{\n  \"a\": \"é\"\n}"),
            "{\n  \"a\": \"é\"\n}"
        );
    }
}
