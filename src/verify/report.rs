//! The report on a paper: what each of its codes proves, line by line, and what was
//! not proven, in one line at the end.

use chrono::NaiveDate;

use super::{CodeReport, PaperContents, Verdict, Verifier};
use crate::core::digest::short;
use crate::proof::ClaimedProcedure;
use crate::spec::Status;

/// What no code can prove.
pub(crate) const LIMITS: &str = "\
Compare each code's paper, number, revision and badge with what is in your hand: a code can
be copied onto another paper. A signature tells who issued a paper; it approves nothing.
";

/// What to do where something is false or missing.
const STEP: &str = "\
Next: give what is asked for above and verify again, or ask whoever issued this paper for
the current one. Do not work from it until then.
";

/// How many codes the last line names at most; a file of wallet cards has hundreds.
const MOST_NAMED: usize = 8;

#[derive(Debug, Clone)]
pub(crate) struct PaperReport {
    /// The paper, as the user named it.
    pub(crate) paper: String,
    /// One for each code found.
    pub(crate) codes: Vec<CodeReport>,
    /// Remarks on the file as a whole.
    pub(crate) remarks: Vec<(Verdict, String)>,
}

impl PaperReport {
    /// Verifies a file that was read.
    pub(crate) fn on_file(paper: String, contents: PaperContents, verifier: &Verifier) -> Self {
        let PaperContents { pdf, seen } = contents;
        let mut remarks = Vec::new();
        if seen.codes.is_empty() {
            let remark = "no signed code was found on the pages, so nothing is proven".to_owned();
            remarks.push((Verdict::Missing, remark));
        }
        if seen.unseen > 0 {
            let remark = format!("{} of {} pages were not looked at", seen.unseen, seen.pages);
            remarks.push((Verdict::Missing, remark));
        }
        let codes = seen.codes.into_iter();
        let codes = codes.map(|(text, pages)| verifier.verify_code(pages, text, Some(&pdf)));
        Self {
            paper,
            codes: codes.collect(),
            remarks,
        }
    }

    /// Verifies the text of a code without its paper.
    pub(crate) fn on_text(text: &str, verifier: &Verifier) -> Self {
        Self {
            paper: "the text".to_owned(),
            codes: vec![verifier.verify_code(Vec::new(), text.trim().to_owned(), None)],
            remarks: Vec::new(),
        }
    }

    /// Whether no check fails and there are no remarks.
    pub(crate) fn holds(&self) -> bool {
        let mut checks = self.codes.iter().flat_map(|code| &code.checks);
        self.remarks.is_empty() && checks.all(|check| !check.fails)
    }

    /// The whole report.
    pub(crate) fn text(&self, as_of: NaiveDate) -> String {
        let mut out = format!("{}\n", self.title(as_of));
        for code in &self.codes {
            out.push_str(&format!("\n{}\n", code.title()));
            for check in &code.checks {
                let (verdict, about) = (check.verdict.word(), check.about);
                out.push_str(&format!("  {verdict:<9}  {about}: {}\n", check.message));
            }
        }
        for (verdict, remark) in &self.remarks {
            out.push_str(&format!("\n  {:<9}  {remark}\n", verdict.word()));
        }
        if let Some(step) = self.next_step() {
            out.push_str(&format!("\n{step}"));
        }
        out + &format!("\n{LIMITS}\n{}\n", self.last_line())
    }

    pub(crate) fn title(&self, as_of: NaiveDate) -> String {
        format!("{}, as of {as_of}", self.paper)
    }

    /// What to do if the paper does not hold.
    pub(crate) fn next_step(&self) -> Option<&'static str> {
        (!self.holds()).then_some(STEP)
    }

    /// What was not proven, on the line that is read first on a terminal.
    pub(crate) fn last_line(&self) -> String {
        let mut unproven: Vec<_> = self.codes.iter().filter_map(unproven).collect();
        let rest = unproven.len().saturating_sub(MOST_NAMED);
        if rest > 0 {
            unproven.truncate(MOST_NAMED);
            unproven.push(format!("and of {rest} more codes"));
        }
        match (unproven.is_empty(), self.remarks.first()) {
            (true, None) => "Proven: signature, spec and pages.".to_owned(),
            (false, None) => format!("NOT PROVEN: {}.", unproven.join("; ")),
            (_, Some((_, remark))) => {
                let all = std::iter::once(remark.clone()).chain(unproven);
                format!("NOT PROVEN: {}.", all.collect::<Vec<_>>().join("; "))
            }
        }
    }
}

impl CodeReport {
    /// Where the code is, and what it claims.
    pub(crate) fn title(&self) -> String {
        format!("{}{}", place(self), heading(self))
    }
}

/// What a code does not prove, with how each came out.
fn unproven(code: &CodeReport) -> Option<String> {
    let mut of: Vec<String> = Vec::new();
    for check in &code.checks {
        let what = format!("{} ({})", check.about, check.verdict.word());
        if check.verdict != Verdict::Proven && !of.contains(&what) {
            of.push(what);
        }
    }
    // A text alone has no pages to compare.
    if code.pages.is_empty() && !of.iter().any(|what| what.starts_with("pages")) {
        of.push("pages (none were given)".to_owned());
    }
    (!of.is_empty()).then(|| format!("{}{}", place(code), of.join(", ")))
}

fn place(code: &CodeReport) -> String {
    match code.pages.as_slice() {
        [] => String::new(),
        [page] => format!("page {page}: "),
        pages => {
            let pages: Vec<_> = pages.iter().map(usize::to_string).collect();
            format!("pages {}: ", pages.join(", "))
        }
    }
}

fn heading(code: &CodeReport) -> String {
    let Ok(statement) = &code.statement else {
        return "a code that cannot be read".to_owned();
    };
    let claim = &statement.claim;
    let badge = claim.badge.iter().map(|badge| format!(" of badge {badge}"));
    let procedures: Vec<_> = claim.procedures.iter().map(procedure).collect();
    format!(
        "{}{}, {}",
        claim.subject.name(),
        badge.collect::<String>(),
        procedures.join("; ")
    )
}

fn procedure(procedure: &ClaimedProcedure) -> String {
    let status = match procedure.status {
        Status::Draft => "DRAFT",
        Status::Qualified => "qualification claimed",
        Status::Withdrawn => "WITHDRAWN",
    };
    format!(
        "{} revision {}, {status}, spec {}",
        procedure.number,
        procedure.revision,
        short(&procedure.digest)
    )
}
