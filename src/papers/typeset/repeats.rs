//! Writes a drawing once that a page repeats. A sheet of cards has the same face
//! eight times: 1.2 MB of SVG, which Chromium takes 120 ms to read, and 0.45 MB and
//! 45 ms where the faces after the first are a `use` of it.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

const GROUP_END: &str = "</g>";

/// Shorter drawings are read as quickly as a `use` of them, in bytes.
const SHORTEST: usize = 4000;

/// The picture with every large group that occurs again drawn by `use`.
pub(super) fn share_repeats(svg: String) -> String {
    let mut by_length: HashMap<usize, Vec<Range<usize>>> = HashMap::new();
    for content in group_contents(&svg).filter(|content| content.len() >= SHORTEST) {
        by_length.entry(content.len()).or_default().push(content);
    }
    let mut lengths: Vec<_> = by_length
        .into_iter()
        .filter(|(_, is)| is.len() > 1)
        .collect();
    // What is inside a group that is shared already is gone with it.
    lengths.sort_unstable_by_key(|(length, _)| std::cmp::Reverse(*length));
    let mut shared: Vec<(Range<usize>, usize)> = Vec::new();
    let mut count = 0;
    for (_, contents) in lengths {
        let mut alike: Vec<(&str, Vec<Range<usize>>)> = Vec::new();
        for content in contents {
            let inside = |(outer, _): &(Range<usize>, _)| outer.contains(&content.start);
            let Some(text) = svg
                .get(content.clone())
                .filter(|_| !shared.iter().any(inside))
            else {
                continue;
            };
            match alike.iter_mut().find(|(other, _)| *other == text) {
                Some((_, places)) => places.push(content),
                None => alike.push((text, vec![content])),
            }
        }
        for (_, places) in alike.into_iter().filter(|(_, places)| places.len() > 1) {
            shared.extend(places.into_iter().map(|place| (place, count)));
            count += 1;
        }
    }
    if shared.is_empty() {
        return svg;
    }
    shared.sort_unstable_by_key(|(place, _)| place.start);
    written(&svg, &shared)
}

/// The picture, where each of these places, in order, has the drawing of its number.
fn written(svg: &str, shared: &[(Range<usize>, usize)]) -> String {
    let mut written = String::with_capacity(svg.len());
    let mut drawn = HashSet::new();
    let mut copied = 0;
    for (place, number) in shared {
        written.push_str(svg.get(copied..place.start).unwrap_or_default());
        if drawn.insert(number) {
            let drawing = svg.get(place.clone()).unwrap_or_default();
            written.push_str(&format!("<g id=\"again{number}\">{drawing}{GROUP_END}"));
        } else {
            written.push_str(&format!("<use xlink:href=\"#again{number}\"/>"));
        }
        copied = place.end;
    }
    written.push_str(svg.get(copied..).unwrap_or_default());
    written
}

/// Where the content of each group stands, inner groups before outer ones.
fn group_contents(svg: &str) -> impl Iterator<Item = Range<usize>> {
    let mut open = Vec::new();
    let mut at = 0;
    std::iter::from_fn(move || {
        loop {
            let rest = svg.get(at..)?;
            let tag = at + rest.find('<')?;
            let rest = svg.get(tag..)?;
            let end = tag + rest.find('>')? + 1;
            at = end;
            if rest.starts_with(GROUP_END) {
                return Some(open.pop()?..tag);
            }
            let is_group = rest.starts_with("<g>") || rest.starts_with("<g ");
            if is_group && !svg.get(tag..end)?.ends_with("/>") {
                open.push(end);
            }
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn card(x: u32, inner: &str) -> String {
        format!("<g transform=\"translate({x} 0)\">{inner}</g>")
    }

    #[test]
    fn a_face_that_occurs_again_is_drawn_by_use() {
        let face = format!("<g><path d=\"{}\"/></g><g/>", "h 1".repeat(2000));
        let other = face.replace('h', "v");
        let cards = [
            card(0, &face),
            card(9, &other),
            card(18, &face),
            card(27, &face),
        ];
        let shared = share_repeats(format!("<svg>{}</svg>", cards.concat()));
        let used = "<use xlink:href=\"#again0\"/>";
        let expected = [
            card(0, &format!("<g id=\"again0\">{face}</g>")),
            card(9, &other),
            card(18, used),
            card(27, used),
        ];
        assert_eq!(shared, format!("<svg>{}</svg>", expected.concat()));
    }

    #[test]
    fn small_groups_and_broken_pictures_stay_as_they_are() {
        let small = card(0, "<path/>").repeat(3);
        let large = card(0, &"<path/>".repeat(1000));
        for svg in [
            "",
            "<svg",
            &format!("<svg>{small}</svg>"),
            &format!("<svg>{large}</svg>"),
            &format!("<svg></g>{large}{large}</svg>"),
        ] {
            assert_eq!(share_repeats(svg.to_owned()), svg);
        }
    }
}
