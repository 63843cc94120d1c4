//! The topics of `coldring explain`: each file of `templates/help` is one, Markdown
//! that is printed almost unchanged.

#[derive(Debug, Clone, Copy)]
pub(crate) struct Topic {
    /// The name of its file.
    pub(crate) name: &'static str,
    text: &'static str,
}

/// Listed by `build.rs`.
const FILES: &[(&str, &str)] = &include!(concat!(env!("OUT_DIR"), "/topics.rs"));

/// Every topic, by name.
pub(crate) fn topics() -> impl Iterator<Item = Topic> {
    FILES.iter().map(|&(name, text)| Topic { name, text })
}

impl Topic {
    pub(crate) fn title(&self) -> &'static str {
        let first = self.text.lines().next().unwrap_or_default();
        first.trim_start_matches(['#', ' '])
    }

    /// The text for a terminal: headings underlined, and fenced blocks indented
    /// without their fences.
    pub(crate) fn shown(&self) -> String {
        let mut shown = String::new();
        let mut fenced = false;
        for line in self.text.lines() {
            if line.trim_start().starts_with("```") {
                fenced = !fenced;
            } else if fenced && !line.is_empty() {
                shown += &format!("    {line}\n");
            } else if fenced || !line.starts_with('#') {
                shown += &format!("{line}\n");
            } else {
                let heading = line.trim_start_matches(['#', ' ']);
                let under = if line.starts_with("##") { "-" } else { "=" };
                shown += &format!("{heading}\n{}\n", under.repeat(heading.chars().count()));
            }
        }
        shown
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_terminal_gets_no_marks() {
        let topic = Topic {
            name: "x",
            text: "# Of x\n\nSo:\n\n```yaml\na: 1   # one\n\n# b\n```\n\n## More\n",
        };
        assert_eq!(topic.title(), "Of x");
        assert_eq!(
            topic.shown(),
            "Of x\n====\n\nSo:\n\n    a: 1   # one\n\n    # b\n\nMore\n----\n"
        );
    }

    #[test]
    fn topics_read_well_as_plain_text() {
        assert!(topics().count() > 0);
        for topic in topics() {
            let name = topic.name;
            assert!(topic.text.starts_with("# "), "{name} begins with its title");
            assert!(topic.title().len() <= 60, "{name}: {}", topic.title());
            assert!(topic.text.ends_with('\n'), "{name}");
            for line in topic.shown().lines() {
                assert!(line.chars().count() <= 80, "{name}: {line}");
                for mark in ["](", "**", "```", "<br", "\t"] {
                    assert!(!line.contains(mark), "{name} has {mark}: {line}");
                }
            }
            let rule = crate::authoring::rule_index::rules().find(|rule| rule.slug == name);
            assert!(rule.is_none(), "{name} is a rule too");
        }
    }
}
