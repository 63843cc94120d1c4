//! Statements of the tables, as the papers of a practice print them.

use super::{Figure, Library, Practice};

/// The federal rules for gas pipelines; cited for gas alone.
const GAS_RULES: &str = "49 CFR 192";

impl Library {
    /// The statements of a table that bear on a practice, in order. A row says
    /// so where it is about one practice alone.
    pub fn statements(&self, table: &str, practice: Practice) -> Vec<&Figure> {
        let mut statements = self.texts(table, "text");
        statements.retain(|figure| self.bears_on(figure, practice));
        statements
    }

    /// Whether the row of a figure is about joints of a practice.
    pub fn bears_on(&self, figure: &Figure, practice: Practice) -> bool {
        self.beside(figure, "practice")
            .and_then(Figure::text)
            .is_none_or(|word| word == practice.key())
    }

    /// The figure in another column of the same row.
    pub fn beside(&self, figure: &Figure, column: &str) -> Option<&Figure> {
        let (row, _) = figure.id.rsplit_once(':')?;
        self.figure(&format!("{row}:{column}"))
    }

    /// What regulations and standards say on joining: section and text. Under
    /// US practice these are the federal gas rules, which bind gas alone.
    pub fn extracts(&self, practice: Practice, gas: bool) -> Vec<(&str, &Figure)> {
        let bears = |figure: &Figure, cite: &str| match practice {
            Practice::Us => gas && cite.len() > GAS_RULES.len() && cite.starts_with(GAS_RULES),
            Practice::Metric => self
                .beside(figure, "practice")
                .is_some_and(|word| word.text() == Some(practice.key())),
        };
        self.texts("regulation", "cite")
            .into_iter()
            .filter_map(|figure| {
                let cite = figure.text()?;
                let text = self.beside(figure, "text")?;
                bears(figure, cite).then_some((cite, text))
            })
            .collect()
    }

    /// Facts of the trade that a cold-weather section states as they stand.
    pub fn cold_statements(&self, practice: Practice) -> impl Iterator<Item = &Figure> {
        [
            match practice {
                Practice::Us => "practice:never-raise-setting:text",
                // F2620 is a standard of US practice.
                Practice::Metric => "practice:never-raise-setting-metric:text",
            },
            match practice {
                Practice::Us => "practice:warm-fittings:text",
                // No cold ring to shim.
                Practice::Metric => "practice:warm-fittings-metric:text",
            },
            "practice:shelter:text",
        ]
        .into_iter()
        .filter_map(|id| self.figure(id))
    }
}
