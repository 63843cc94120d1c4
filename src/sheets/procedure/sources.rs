//! The sources sheet: every figure the paper prints, its value, how far it can
//! be trusted and where it is from.

use super::super::block::{Align, Block, Cell, Section};
use super::super::clause::Clause;
use super::super::format;
use super::{Writer, open, pipe, record, scope, work};
use crate::finding::Finding;
use crate::limits::{Basis, Figure, Sourced};
use crate::resolve::{Joint, Pipe};
use crate::spec::Stated;
use crate::units::{Duration, Length, LengthUnit, Range, Temperature, TemperatureUnit, TimeUnit};

/// Figures that stand alike: one row of the sheet.
struct Group {
    figure: String,
    values: Vec<String>,
    basis: Basis,
    standing: Basis,
    source: String,
}

/// The rows, and the conflicts the figures in them are part of.
struct Sheet<'w> {
    w: &'w Writer<'w>,
    groups: Vec<Group>,
    conflicts: Vec<String>,
}

impl Sheet<'_> {
    /// Adds a figure to the row of those of its name that stand alike.
    fn add<T>(&mut self, name: Clause, of: &str, figure: &Sourced<T>, show: impl Fn(&T) -> String) {
        let shown = show(&figure.value);
        let value = if of.is_empty() {
            shown
        } else {
            format!("{of} {shown}")
        };
        self.push(name, value, figure.basis, figure.standing, &figure.source);
        self.conflict(figure.conflict.as_deref());
    }

    fn optional<T>(
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

    /// Adds statements of the tables, by the middle of their ids.
    fn statements<'f>(&mut self, name: &Clause, figures: impl IntoIterator<Item = &'f Figure>) {
        for figure in figures {
            let key = figure.id.split(':').nth(1).unwrap_or(&figure.id);
            self.push(
                name.clone(),
                key.replace('-', " "),
                figure.basis,
                figure.basis,
                &figure.source,
            );
            self.conflict(figure.conflict.as_deref());
        }
    }

    fn push(&mut self, name: Clause, value: String, basis: Basis, standing: Basis, source: &str) {
        let name = self.w.say(name);
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
                source: source.to_owned(),
            }),
        }
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
                    Cell::plain(&group.source),
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

pub(super) fn sources(w: &Writer, findings: &[Finding]) -> Section {
    let mut sheet = Sheet {
        w,
        groups: Vec::new(),
        conflicts: Vec::new(),
    };
    sizes(&mut sheet);
    common(&mut sheet);
    texts(&mut sheet);
    let mut blocks = vec![w.text(Clause::SourcesIntro)];
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
    let inches = |length: &Length| length.show(LengthUnit::Inch);
    let seconds = |time: &Duration| format!("{} s", time.number(TimeUnit::Second));
    let joints: &[Joint] = &sheet.w.p.joints;
    let to = sheet.w.say(Clause::To);
    for joint in joints {
        let of = joint.size.to_string();
        sheet.optional(
            Clause::FigureOd,
            &of,
            joint.outside_diameter.as_ref(),
            inches,
        );
        sheet.optional(
            Clause::FigureOdTolerance,
            &of,
            joint.od_tolerance.as_ref(),
            inches,
        );
        sheet.optional(Clause::FigureDepth, &of, joint.depth.known(), inches);
        sheet.optional(Clause::FigureHeating, &of, joint.heat.as_ref(), |heat| {
            let most = seconds(&heat.most);
            if heat.least == heat.most {
                return most;
            }
            format!("{} {to} {most}", heat.least.number(TimeUnit::Second))
        });
        sheet.optional(Clause::FigureHold, &of, joint.hold.as_ref(), seconds);
        for pipe in &joint.pipes {
            walls(sheet, joint, pipe);
        }
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

fn walls(sheet: &mut Sheet, joint: &Joint, pipe: &Pipe) {
    let inches = |length: &Length| length.show(LengthUnit::Inch);
    let of = format!("{} {}:", joint.size, format::wall(pipe.label));
    sheet.add(Clause::FigureLeastWall, &of, &pipe.least_wall, inches);
    sheet.optional(
        Clause::FigureWallTolerance,
        &of,
        pipe.wall_tolerance.as_ref(),
        inches,
    );
    sheet.add(Clause::FigureInside, &of, &pipe.inside_diameter, inches);
}

/// Figures that are the same for all sizes.
fn common(sheet: &mut Sheet) {
    let w = sheet.w;
    let spec = w.p.spec;
    let to = w.say(Clause::To);
    let show = |time: &Duration| time.show();
    sheet.optional(Clause::FigureChangeOver, "", w.p.change_over.as_ref(), show);
    sheet.optional(
        Clause::FigureHandling,
        "",
        w.p.before_handling.as_ref(),
        show,
    );
    sheet.optional(
        Clause::FigurePressureTest,
        "",
        w.p.before_pressure_test.as_ref(),
        show,
    );
    sheet.optional(Clause::FigureWindow, "", w.p.window.as_ref(), |window| {
        format::temperature_range(*window, TemperatureUnit::Fahrenheit, &to)
    });
    heater(sheet);
    sheet.optional(
        Clause::FigureColdTrigger,
        "",
        w.p.cold_trigger.as_ref(),
        |t| format::temperature(*t),
    );
    sheet.optional(Clause::FigureColdStep, "", w.p.cold_step.as_ref(), show);
    let floor = spec
        .cold_weather
        .as_ref()
        .and_then(|cold| cold.no_joints_below.as_ref());
    if let Some(floor) = floor {
        sheet.stated(Clause::FigureColdFloor, floor, |t| format::temperature(*t));
    }
    if let Some(least) = &spec.least_wall {
        sheet.stated(Clause::FigureLeastWallLimit, least, |wall| {
            format::length(*wall)
        });
    }
    if let Some(range) = &spec.pipe_temperature {
        let figure = Sourced::stated(range.value, Basis::Organization, w.say(Clause::SourceSpec));
        sheet.add(Clause::FigurePipeTemperature, "", &figure, |range| {
            format::temperature_range(*range, TemperatureUnit::Fahrenheit, &to)
        });
    }
    for (size, spigot) in &spec.fittings.spigots {
        let source = match &spigot.source {
            Some(source) => source.value.clone(),
            None => w.say(Clause::SourceUnsourced),
        };
        let figure = Sourced::stated(spigot.straight_length.value, Basis::Measured, source);
        sheet.add(
            Clause::FigureSpigot,
            &size.value.to_string(),
            &figure,
            |length| length.show(LengthUnit::Inch),
        );
    }
    let ovality = w
        .limits
        .figure("us-coil:ovality:percent")
        .and_then(Figure::percent);
    sheet.optional(Clause::FigureOvality, "", ovality.as_ref(), |share| {
        share.show()
    });
    sheet.optional(
        Clause::FigureStripThickness,
        "",
        w.p.strip_thickness.as_ref(),
        |t| format::length(*t),
    );
}

/// The heater: what the author states of it, and the face that follows.
fn heater(sheet: &mut Sheet) {
    let w = sheet.w;
    let heater = &w.p.spec.heater;
    let to = w.say(Clause::To);
    let spec = || w.say(Clause::SourceSpec);
    let set_point = Sourced::stated(heater.set_point.value.0, Basis::Organization, spec());
    sheet.add(Clause::HeaterSetPoint, "", &set_point, |t| {
        format::temperature(*t)
    });
    let differences = [
        (Clause::HeaterOffset, &heater.face_offset, Basis::Measured),
        (Clause::HeaterSwing, &heater.swing, Basis::Organization),
        (Clause::HeaterStep, &heater.step, Basis::Organization),
    ];
    for (name, written, basis) in differences {
        if let Some(written) = written {
            let figure = Sourced::stated(written.value.0, basis, spec());
            sheet.add(name, "", &figure, |d| d.show(TemperatureUnit::Fahrenheit));
        }
    }
    let check = heater.face_check.as_ref();
    let stated = check.and_then(|check| check.accuracy.as_ref());
    let mut inputs = vec![Basis::Organization, Basis::Measured];
    let swinging = Sourced::derived(w.p.face.swinging(), w.say(Clause::SourceFace), &inputs);
    if let Some(accuracy) = stated {
        let figure = Sourced::stated(accuracy.value.0, Basis::Organization, spec());
        sheet.add(Clause::HeaterAccuracy, "", &figure, |d| {
            d.show(TemperatureUnit::Fahrenheit)
        });
    } else if w.p.face.accuracy.is_some() {
        let share = w.limits.figure("us-heater:stick-accuracy:percent");
        let share = share.and_then(Figure::percent);
        inputs.extend(share.as_ref().map(|share| share.standing));
        sheet.optional(Clause::FigureStickAccuracy, "", share.as_ref(), |share| {
            share.show()
        });
    }
    if heater.face_offset.is_none() {
        return;
    }
    let show = |band: &Range<Temperature>| {
        format::temperature_range(*band, TemperatureUnit::Fahrenheit, &to)
    };
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
        scope::hazards(w).into_iter().map(|(_, text)| text),
    );
    for (name, table) in [
        (Clause::StatementsAcceptance, "acceptance"),
        (Clause::StatementsRejection, "rejection"),
        (Clause::StatementsRules, "acceptance-rules"),
    ] {
        sheet.statements(&name, w.limits.texts(table, "text"));
    }
    if w.is_gas() {
        sheet.statements(
            &Clause::StatementsTests,
            w.limits.texts("joint-tests", "text"),
        );
    }
    let joined = pipe::JOINED.iter().filter_map(|id| w.limits.figure(id));
    sheet.statements(&Clause::StatementsCompatibility, joined);
    if w.p.spec.cold_weather.is_some() {
        let cold = work::COLD_STATEMENTS
            .iter()
            .filter_map(|id| w.limits.figure(id));
        sheet.statements(&Clause::StatementsCold, cold);
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
