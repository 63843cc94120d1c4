//! Makes the sheets of people, one file per job: signs and draws the codes, and
//! lays the few words that differ over the backgrounds. Threads take one job
//! after another; which thread does it changes no byte.
//!
//! Measured with `tests/bench/run`: 10,000 cards take 0.9 s of processor time,
//! and with codes 3.3 s. The profile gives a third of that to choosing the codes'
//! masks (`fast_qr::score`), an eighth to deflating, and a twentieth to
//! signatures. Tags are kept: without object streams the cards are 0.8 KB each,
//! and 1.8 KB with a code.

use super::super::to_json;
use super::job::{Job, Person, PreparedCardSet, claim};
use super::{WalletFile, WalletOrder};
use crate::core::parallel;
use crate::papers::typeset::{self, HouseFiles, Page, Print, TypesetError, typeset};
use crate::papers::wallet::{PeopleSheet, PlacedPerson, SheetOfPeople};
use crate::proof::qr_png;

/// How many files a cached layout survives: files share the background, and
/// threads should not evict what another uses. Without a limit 10,000 signed
/// cards took 425 MB; with it they take 188.
const FILES_KEPT: usize = 4;

const BACKGROUNDS: [&str; 2] = ["/attached/ground.pdf", "/attached/last.pdf"];

/// Makes the files, in job order.
pub(crate) fn make(
    order: &WalletOrder<'_>,
    jobs: &[Job<'_>],
) -> Result<Vec<WalletFile>, TypesetError> {
    let cards = jobs.iter().map(|job| job.people.len()).sum();
    let made = parallel::map_on(order.threads, jobs, |job| {
        let file = file(order, job);
        (order.made)(job.people.len(), cards);
        file
    });
    made.into_iter().collect()
}

fn file(order: &WalletOrder<'_>, job: &Job<'_>) -> Result<WalletFile, TypesetError> {
    use chrono::Datelike;
    typeset::evict_unused(FILES_KEPT);
    let card_set = job.card_set;
    let codes: Vec<_> = job
        .people
        .iter()
        .map(|person| code(order, card_set, person))
        .collect();
    let names: Vec<_> = (0..codes.len())
        .map(|at| format!("code-{at}.png"))
        .collect();
    let [(full, full_pdf), (rest, rest_pdf)] = &card_set.backgrounds;
    let sheets = job.people.chunks(job.slots).enumerate().map(|(n, people)| {
        let is_full = people.len() == job.slots;
        let (ground, file) = if is_full {
            (full, BACKGROUNDS[0])
        } else {
            (rest, BACKGROUNDS[1])
        };
        let first = n * job.slots;
        let placed = people.iter().zip(ground.layout.people()).enumerate();
        SheetOfPeople {
            ground: file,
            width_mm: ground.layout.width_mm,
            height_mm: ground.layout.height_mm,
            sides: ground.layout.sides.len(),
            people: placed
                .map(|(at, (person, position))| PlacedPerson {
                    x_mm: position.x_mm,
                    y_mm: position.y_mm,
                    name_top_mm: full.panel.name_top_mm(&person.name),
                    name: &person.name,
                    badge: &person.badge,
                    until: person
                        .holder
                        .until
                        .iter()
                        .map(ToString::to_string)
                        .collect(),
                    code: names
                        .get(first + at)
                        .filter(|_| order.signer.is_some())
                        .map(|name| format!("/attached/{name}")),
                })
                .collect(),
        }
    });
    let [ground_alt, code_alt] = &card_set.alts;
    let day = order.as_of;
    let sheet = PeopleSheet {
        lang: full.lang,
        document_title: card_set.title.clone(),
        organization: full.organization.clone(),
        date_parts: (day.year(), day.month(), day.day()),
        ground_alt,
        code_alt,
        panel: &full.panel,
        sheets: sheets.collect(),
    };
    let backgrounds = [("ground.pdf", full_pdf), ("last.pdf", rest_pdf)].into_iter();
    let made = backgrounds.filter_map(|(name, pdf)| Some((name.to_owned(), pdf.as_deref()?)));
    let mut attached: Vec<_> = made.collect();
    let drawn = names.into_iter().zip(&codes);
    attached.extend(drawn.filter_map(|(name, code)| Some((name, code.as_deref()?))));
    let bytes = typeset(&Print {
        page: Page::Wallet,
        sheet: to_json(&sheet)?,
        attached,
        house: HouseFiles::default(),
        code: None,
        identity: format!("{} {day}", job.name),
        date: day,
    })?;
    Ok(WalletFile {
        name: job.name.clone(),
        cards: job.people.len(),
        bytes,
    })
}

/// The code on a person's card, as PNG. Its length was checked before.
fn code(
    order: &WalletOrder<'_>,
    card_set: &PreparedCardSet<'_>,
    person: &Person<'_>,
) -> Option<Vec<u8>> {
    let signer = order.signer?;
    qr_png(&signer.sign(&claim(&card_set.claimed, person.holder))).ok()
}
