//! The sources sheet: every figure the paper prints, its value, how far it can
//! be trusted and where it is from.

use super::super::block::{Align, Block, Cell, Section};
use super::super::clause::Clause;
use super::super::{format, holder, metric};
use super::{Writer, fit, joint_time, kinds, metric_work, open, pipe, record, scope, tools, work};
use crate::core::finding::Finding;
use crate::core::units::print::Bound;
use crate::core::units::{Duration, Length, Range, Temperature, TemperatureDifference, TimeUnit};
use crate::procedure::resolve::{Joint, Pipe};
use crate::published::{Basis, Figure, Sourced};
use crate::spec::Stated;
use crate::spec::language::Language;

/// Characters after which the first words of a statement end.
const FIRST_WORDS: usize = 18;

/// Characters of an item that surely fit the column of values.
const LONGEST_UNBROKEN: usize = 34;

/// Figures that stand alike: one row of the sheet.
struct Group {
    figure: String,
    values: Vec<String>,
    basis: Basis,
    standing: Basis,
    source: String,
    /// The language of the source, where it is not the paper's.
    lang: Option<Language>,
}

/// The rows, and the conflicts the figures in them are part of.
pub(super) struct Sheet<'w> {
    w: &'w Writer<'w>,
    groups: Vec<Group>,
    conflicts: Vec<String>,
}

impl Sheet<'_> {
    /// Adds a figure to the row of those of its name that stand alike.
    pub(super) fn add<T>(
        &mut self,
        name: Clause,
        of: &str,
        figure: &Sourced<T>,
        show: impl Fn(&T) -> String,
    ) {
        let shown = show(&figure.value);
        let value = match of {
            "" => shown,
            // `20 mm 12.5 mm` would be hard to read.
            of if self.w.is_metric() && !of.ends_with(':') => format!("{of}: {shown}"),
            of => format!("{of} {shown}"),
        };
        self.push(name, value, figure.basis, figure.standing, &figure.source);
        self.conflict(figure.conflict.as_deref());
    }

    pub(super) fn optional<T>(
        &mut self,
        name: Clause,
        of: &str,
        figure: Option<&Sourced<T>>,
        show: impl Fn(&T) -> String,
    ) {
        if let Some(figure) = figure {
            self.add(name, of, figure, show);
        }
    }

    /// Adds what the author states outside the resolved figures.
    fn stated<T: Copy>(&mut self, name: Clause, stated: &Stated<T>, show: impl Fn(&T) -> String) {
        let source = match &stated.source {
            Some(source) => source.value.clone(),
            None => self.w.say(Clause::SourceUnsourced),
        };
        let figure = Sourced::stated(stated.value.value, Basis::Organization, source);
        self.add(name, "", &figure, show);
    }

    /// Adds a length in the unit that comes first, with the digits its author wrote.
    pub(super) fn length(
        &mut self,
        name: Clause,
        of: &str,
        figure: Option<&Sourced<Length>>,
        bound: Bound,
    ) {
        let units = self.w.units();
        if let Some(figure) = figure {
            self.add(name, of, figure, |_| {
                format::with_unit(units, figure, bound)
            });
        }
    }

    /// Adds what the spec states where it has no room for a source.
    fn of_spec<T>(&mut self, name: Clause, value: T, show: impl Fn(&T) -> String) {
        let source = self.w.say(Clause::SourceSpec);
        let figure = Sourced::stated(value, Basis::Organization, source);
        self.add(name, "", &figure, show);
    }

    /// Adds statements of the tables, by their first words.
    fn statements<'f>(&mut self, name: &Clause, figures: impl IntoIterator<Item = &'f Figure>) {
        for figure in figures {
            self.push(
                name.clone(),
                first_words(self.w.words.statement(figure).unwrap_or(&figure.id)),
                figure.basis,
                figure.basis,
                &figure.source,
            );
            self.conflict(figure.conflict.as_deref());
        }
    }

    fn push(&mut self, name: Clause, value: String, basis: Basis, standing: Basis, source: &str) {
        let name = self.w.say(name);
        let lang = self.authors_language(basis, source);
        let source = self.w.words.source(source);
        let value = unbroken(value);
        let alike = self.groups.iter_mut().find(|group| {
            group.figure == name
                && (group.basis, group.standing) == (basis, standing)
                && group.source == source
        });
        match alike {
            Some(group) => group.values.push(value),
            None => self.groups.push(Group {
                figure: name,
                values: vec![value],
                basis,
                standing,
                source,
                lang,
            }),
        }
    }

    /// The language of a source that the author wrote, where it is not the
    /// paper's.
    fn authors_language(&self, basis: Basis, source: &str) -> Option<Language> {
        let stated = matches!(
            basis,
            Basis::Organization | Basis::Measured | Basis::Confirmed
        );
        let ours = [Clause::SourceSpec, Clause::SourceUnsourced]
            .into_iter()
            .any(|clause| self.w.say(clause) == source);
        let untouched = self.w.words.source(source) == source;
        self.w.text_lang.filter(|_| stated && untouched && !ours)
    }

    fn conflict(&mut self, slug: Option<&str>) {
        let Some(slug) = slug else { return };
        if !self.conflicts.iter().any(|known| known == slug) {
            self.conflicts.push(slug.to_owned());
        }
    }

    fn rows(&self) -> Vec<Vec<Cell>> {
        self.groups
            .iter()
            .map(|group| {
                vec![
                    Cell::plain(&group.figure),
                    Cell::plain(group.values.join("; ")),
                    Cell::plain(self.standing(group)).verify(group.standing >= Basis::Recalled),
                    Cell::plain(&group.source).lang(group.lang),
                ]
            })
            .collect()
    }

    /// The standing in words; a derived figure also says what it rests on.
    fn standing(&self, group: &Group) -> String {
        if group.basis == group.standing {
            return format::basis(group.basis, self.w.words);
        }
        self.w.say(Clause::BasisDerivedFrom {
            worst: format::basis(group.standing, self.w.words),
        })
    }
}

/// An item that stays on one line, so that no size is read with the figure of
/// another; one too long for its column may break.
fn unbroken(item: String) -> String {
    if item.chars().count() > LONGEST_UNBROKEN {
        return item;
    }
    item.replace(' ', "\u{a0}")
}

/// Enough of a statement to find it by.
fn first_words(text: &str) -> String {
    let mut shown = String::new();
    for word in text.split(' ') {
        if shown.chars().count() >= FIRST_WORDS {
            let shown = shown.trim_end_matches([',', '.', ':', ';']);
            return format!("{shown}\u{a0}\u{2026}");
        }
        if !shown.is_empty() {
            shown.push(' ');
        }
        shown.push_str(word);
    }
    shown
}

pub(super) fn sources(w: &Writer, findings: &[Finding]) -> Section {
    let mut sheet = Sheet {
        w,
        groups: Vec::new(),
        conflicts: Vec::new(),
    };
    sizes(&mut sheet);
    common(&mut sheet);
    kinds::figures(&mut sheet, w);
    joint_time::figures(&mut sheet, w);
    texts(&mut sheet);
    let mut blocks = vec![w.text(Clause::SourcesIntro {
        version: w.limits.version().to_owned(),
    })];
    blocks.extend(w.table(
        Clause::SourcesCaption,
        vec![
            (Clause::ColumnFigure, Align::Left),
            (Clause::ColumnValue, Align::Left),
            (Clause::ColumnStanding, Align::Left),
            (Clause::ColumnSource, Align::Left),
        ],
        sheet.rows(),
        true,
    ));
    let mut items = open::absences(w);
    items.extend(
        sheet
            .conflicts
            .iter()
            .filter_map(|slug| open::conflict(w, slug)),
    );
    if !items.is_empty() {
        blocks.push(w.text(Clause::SourcesOpen));
        blocks.push(Block::List { items });
    }
    blocks.extend(open::warnings(w, findings));
    w.section(Clause::TitleSources, blocks)
}

/// Figures that each size or wall has of its own.
fn sizes(sheet: &mut Sheet) {
    let seconds = |time: &Duration| format!("{} s", time.number(TimeUnit::Second));
    let joints: &[Joint] = &sheet.w.p.joints;
    let to = sheet.w.say(Clause::To);
    for joint in sheet.w.p.sizes() {
        let of = joint.size.to_string();
        let od = joint.outside_diameter.as_ref();
        sheet.length(Clause::FigureOd, &of, od, Bound::Nominal);
        if sheet.w.is_metric() {
            metric_size(sheet, joint);
        } else {
            let tolerance = joint.od_tolerance.as_ref();
            sheet.length(Clause::FigureOdTolerance, &of, tolerance, Bound::Maximum);
        }
        let depth = joint.depth.known();
        sheet.length(Clause::FigureDepth, &of, depth, Bound::Nominal);
    }
    // While a size is not joined, no paper prints its times.
    for joint in joints {
        let of = format::joint(sheet.w.units(), joint, joints);
        for pipe in &joint.pipes {
            walls(sheet, joint, pipe);
        }
        if joint.depth.known().is_none() {
            continue;
        }
        // An unlike pair has heating times of its own.
        let alike = sheet.w.p.unlike(joint.size).is_none();
        let heat = joint.heat.as_ref().filter(|_| alike);
        sheet.optional(Clause::FigureHeating, &of, heat, |heat| {
            let most = seconds(&heat.most);
            if heat.least == heat.most {
                return most;
            }
            format!("{} {to} {most}", heat.least.number(TimeUnit::Second))
        });
        sheet.optional(Clause::FigureHold, &of, joint.hold.as_ref(), seconds);
    }
    let (w, unit) = (sheet.w, sheet.w.unit());
    for (name, of, band) in fit::figures(w) {
        sheet.add(name, &of, &band, |band| {
            format!("{} {unit}", fit::range(w, *band))
        });
    }
    // Rows of one quantity together, in the order each quantity first came.
    let mut order: Vec<String> = Vec::new();
    for group in &sheet.groups {
        if !order.contains(&group.figure) {
            order.push(group.figure.clone());
        }
    }
    sheet
        .groups
        .sort_by_key(|group| order.iter().position(|name| *name == group.figure));
}

/// What metric pipe of a size has beside its diameter.
fn metric_size(sheet: &mut Sheet, joint: &Joint) {
    let of = joint.size.to_string();
    let tolerance = joint.od_tolerance.as_ref();
    sheet.optional(Clause::FigureOdPlus, &of, tolerance, |plus| {
        format!("{} mm", format::plus_only(*plus))
    });
    sheet.length(
        Clause::FigureOutOfRoundness,
        &of,
        joint.out_of_roundness.as_ref(),
        Bound::Maximum,
    );
    let mark = metric::witness_line(sheet.w.p, sheet.w.limits, joint.size);
    sheet.length(
        Clause::FigureWitnessLine,
        &of,
        mark.as_ref(),
        Bound::Nominal,
    );
}

fn walls(sheet: &mut Sheet, joint: &Joint, pipe: &Pipe) {
    let of = format!("{} {}:", joint.size, pipe.label.name(sheet.w.units()));
    let least = Some(&pipe.least_wall);
    sheet.length(Clause::FigureLeastWall, &of, least, Bound::Minimum);
    sheet.length(
        Clause::FigureWallTolerance,
        &of,
        pipe.wall_tolerance.as_ref(),
        Bound::Maximum,
    );
    let inside = Some(&pipe.inside_diameter);
    sheet.length(Clause::FigureInside, &of, inside, Bound::Nominal);
}

/// A time of the joints: once when it is the same for all, else by size.
fn of_joints(
    sheet: &mut Sheet,
    name: &Clause,
    figure: impl Fn(&Joint) -> Option<&Sourced<Duration>>,
) {
    let p = sheet.w.p;
    if let Some(common) = p.common(&figure) {
        return sheet.add(name.clone(), "", common, |time| time.show());
    }
    for joint in p.joints.iter().filter(|j| j.depth.known().is_some()) {
        let of = format::joint(sheet.w.units(), joint, &p.joints);
        sheet.optional(name.clone(), &of, figure(joint), |time| time.show());
    }
}

/// Figures that are the same for all sizes.
fn common(sheet: &mut Sheet) {
    let w = sheet.w;
    let units = w.units();
    let spec = w.p.spec;
    let to = w.say(Clause::To);
    let show = |time: &Duration| time.show();
    of_joints(sheet, &Clause::FigureChangeOver, |joint| {
        joint.change_over.as_ref()
    });
    of_joints(
        sheet,
        &w.by_practice(Clause::FigureCooling, Clause::FigureHandling),
        |joint| joint.before_handling.as_ref(),
    );
    sheet.optional(
        Clause::FigurePressureTest,
        "",
        w.p.before_pressure_test.as_ref(),
        show,
    );
    sheet.optional(Clause::FigureWindow, "", w.p.window.as_ref(), |window| {
        format::temperature_range(units, *window, &to)
    });
    heater(sheet);
    if spec.cleaning.is_some() {
        sheet.of_spec(Clause::FigureCleaning, tools::agent(w), String::clone);
    }
    sheet.optional(
        Clause::FigureColdTrigger,
        "",
        w.p.cold_trigger.as_ref(),
        |t| units.minimum_temperature(*t),
    );
    let lowest = metric_work::lowest_ambient_pp(w);
    sheet.optional(Clause::FigureLowestAmbient, "", lowest.as_ref(), |t| {
        units.minimum_temperature(*t)
    });
    sheet.optional(Clause::FigureColdStep, "", w.p.cold_step.as_ref(), show);
    let short = work::short_heating(w);
    sheet.optional(Clause::FigureShortHeating, "", short.as_ref(), show);
    let floor = spec
        .cold_weather
        .as_ref()
        .and_then(|cold| cold.no_joints_below.as_ref());
    if let Some(floor) = floor {
        sheet.stated(Clause::FigureColdFloor, floor, |t| {
            units.minimum_temperature(*t)
        });
    }
    if let Some(least) = &spec.least_wall {
        sheet.stated(Clause::FigureLeastWallLimit, least, |wall| {
            units.minimum_length(*wall)
        });
    }
    if let Some(range) = &spec.pipe_temperature {
        sheet.of_spec(Clause::FigurePipeTemperature, range.value, |range| {
            format::temperature_range(units, *range, &to)
        });
    }
    for (size, spigot) in &spec.fittings.spigots {
        let length = scope::spigot_length(w, spigot);
        let of = size.value.to_string();
        sheet.length(Clause::FigureSpigot, &of, Some(&length), Bound::Nominal);
    }
    let ovality = work::coil_ovality(w);
    sheet.optional(Clause::FigureOvality, "", ovality.as_ref(), |share| {
        share.show()
    });
    sheet.optional(
        Clause::FigureStripThickness,
        "",
        w.p.strip_thickness.as_ref(),
        |t| units.length(*t),
    );
}

/// The heater: what the author states of it, and the face that follows.
fn heater(sheet: &mut Sheet) {
    let w = sheet.w;
    let (units, unit) = (w.units(), w.units().temperature_unit());
    let heater = &w.p.spec.heater;
    let to = w.say(Clause::To);
    let rating = |t: &Temperature| units.temperature(*t);
    let difference = |d: &TemperatureDifference| d.show(unit);
    sheet.of_spec(Clause::HeaterSetPoint, heater.set_point.value.0, rating);
    // The spec has no room for the source of an offset, so the paper cannot say
    // that it was measured.
    if let Some(offset) = &heater.face_offset {
        let source = w.say(Clause::SourceUnsourced);
        let figure = Sourced::stated(offset.value.0, Basis::Organization, source);
        sheet.add(Clause::HeaterOffset, "", &figure, difference);
    }
    for (name, written) in [
        (Clause::HeaterSwing, &heater.swing),
        (Clause::HeaterStep, &heater.step),
    ] {
        if let Some(written) = written {
            sheet.of_spec(name, written.value.0, difference);
        }
    }
    let check = heater.face_check.as_ref();
    for (name, stick) in [
        (
            Clause::FigureStickMelts,
            check.and_then(|check| check.melts.as_ref()),
        ),
        (
            Clause::FigureStickSolid,
            check.and_then(|check| check.stays_solid.as_ref()),
        ),
    ] {
        if let Some(stick) = stick {
            sheet.of_spec(name, stick.value.0, rating);
        }
    }
    let stated = check.and_then(|check| check.accuracy.as_ref());
    let mut inputs = vec![Basis::Organization];
    let swinging = Sourced::derived(w.p.face.swinging(), w.say(Clause::SourceFace), &inputs);
    if let Some(accuracy) = stated {
        sheet.of_spec(Clause::HeaterAccuracy, accuracy.value.0, difference);
    } else if let Some(accuracy) = w.p.face.accuracy {
        let share = w.limits.figure("us-heater:stick-accuracy:percent");
        let share = share.and_then(Figure::percent);
        inputs.extend(share.as_ref().map(|share| share.standing));
        sheet.optional(Clause::FigureStickAccuracy, "", share.as_ref(), |share| {
            share.show()
        });
        let formula = w.say(Clause::SourceStickAccuracy);
        let figure = Sourced::derived(accuracy, formula, &inputs);
        sheet.add(Clause::HeaterAccuracy, "", &figure, difference);
    }
    if heater.face_offset.is_none() {
        return;
    }
    let show = |band: &Range<Temperature>| format::temperature_range(units, *band, &to);
    sheet.add(Clause::HeaterFaceBand, "", &swinging, show);
    if w.p.face.accuracy.is_some() {
        let formula = w.say(Clause::SourceFaceProven);
        let proven = Sourced::derived(w.p.face.proven(), formula, &inputs);
        sheet.add(Clause::HeaterFaceProven, "", &proven, show);
    }
}

/// Statements that are printed as the tables word them.
fn texts(sheet: &mut Sheet) {
    let w = sheet.w;
    sheet.statements(
        &Clause::StatementsHazards,
        scope::hazards(w).into_iter().map(|(.., text)| text),
    );
    for (name, table) in [
        (Clause::StatementsAcceptance, "acceptance"),
        (Clause::StatementsRejection, "rejection"),
        (Clause::StatementsRules, "acceptance-rules"),
    ] {
        sheet.statements(&name, w.limits.statements(table, &w.p.work()));
    }
    if w.is_gas() {
        sheet.statements(
            &Clause::StatementsTests,
            w.limits.texts("joint-tests", "text"),
        );
    }
    sheet.statements(&Clause::StatementsCompatibility, pipe::joined(w));
    let held = holder::held(w.p, w.limits).and(w.limits.figure("us-range:holding-tool-from:text"));
    let times = metric_work::statements(w).into_iter().chain(held);
    sheet.statements(&Clause::StatementsTimes, times);
    if w.p.spec.cold_weather.is_some() {
        sheet.statements(
            &Clause::StatementsCold,
            w.limits.cold_statements(w.p.practice()),
        );
    }
    sheet.statements(&Clause::StatementsQualification, record::reach(w));
    let own = w.say(Clause::StatementsOwnSection);
    for (cite, figure) in record::extracts(w) {
        let source = if figure.source == cite {
            &own
        } else {
            &figure.source
        };
        let name = Clause::StatementsRegulation;
        sheet.push(name, cite.to_owned(), figure.basis, figure.basis, source);
        sheet.conflict(figure.conflict.as_deref());
    }
    let practice = w.say(Clause::StatementsStepsSource);
    let steps = w.say(Clause::StatementsStepsValue);
    sheet.push(
        Clause::StatementsSteps,
        steps,
        Basis::Practice,
        Basis::Practice,
        &practice,
    );
}
