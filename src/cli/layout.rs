//! Text for people in columns and in lines of a given width.

/// Words in lines of at most `width` characters: the first line begins with
/// `first`, the others with `indent`.
pub(crate) fn wrap(first: &str, indent: &str, width: usize, words: &str) -> String {
    let mut text = String::new();
    let mut line = first.to_owned();
    for (i, word) in words.split(' ').enumerate() {
        if i > 0 && line.chars().count() + 1 + word.chars().count() > width {
            text += line.trim_end();
            text.push('\n');
            line = indent.to_owned();
        } else if i > 0 {
            line.push(' ');
        }
        line += word;
    }
    text + &line + "\n"
}

/// Rows in columns as wide as their cells, below a head of two lines. A row with
/// fewer cells may run past its columns.
pub(crate) fn columns<const N: usize>(head: [[&str; 2]; N], rows: &[Vec<String>]) -> String {
    let lines = head
        .iter()
        .map(|[upper, lower]| (upper.to_string(), lower.to_string()));
    let (upper, lower): (Vec<_>, Vec<_>) = lines.unzip();
    let rows: Vec<_> = [&upper, &lower].into_iter().chain(rows).collect();
    let mut widths = [0; N];
    for row in rows.iter().filter(|row| row.len() == N) {
        for (width, cell) in widths.iter_mut().zip(*row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    rows.into_iter()
        .map(|row| {
            let cells = row.iter().zip(widths);
            let line: Vec<_> = cells
                .map(|(cell, width)| format!("{cell:width$}"))
                .collect();
            format!("  {}\n", line.join("  ").trim_end())
        })
        .collect()
}
