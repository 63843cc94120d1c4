//! Procedure → its facts, one for each field of the spec and each time that
//! resolves from it. Every group is taken apart field by field with no `..`, so
//! that a field that is added to the spec and not compared does not compile.

mod equipment;
mod fittings;
mod times;

use super::fact::{ALONE, Collector, Fact, Of, Value};
use crate::core::units::print::temperature_range;
use crate::procedure::resolve::Procedure;
use crate::spec::decode::WIDER_RANGES;
use crate::spec::words;
use crate::spec::{
    Cards, Documents, Figures, MeasuredPipe, Qualification, RangeRule, RecordCitation, Revision,
    Spec, Stated, Strips,
};

/// The facts of a procedure whose spec has this text.
pub fn facts(procedure: &Procedure<'_>, text: &str) -> Vec<Fact> {
    let mut to = Collector::new(text);
    let Spec {
        // Which procedure it is, is no change of it: a rule compares them.
        number: _,
        title,
        organization,
        status,
        service,
        practice,
        revisions,
        references,
        resin: _,
        // Sizes and walls are compared as they resolve.
        pipe: _,
        measured,
        pipe_temperature,
        fittings,
        heater,
        tools,
        cleaning,
        span: _,
        cycles,
        cold_weather,
        least_wall,
        qualification,
        figures,
        documents,
    } = procedure.spec;
    to.text("title", ALONE, [title]);
    to.text("organization", ALONE, [organization]);
    to.word("status", ALONE, [status]);
    to.word("service", ALONE, [service]);
    to.word("practice", ALONE, [practice]);
    for revision in revisions {
        self::revision(revision, &mut to);
    }
    for reference in references {
        to.present("reference", reference.value.as_str(), reference.span);
    }
    resin(procedure, &mut to);
    pipes(procedure, &mut to);
    for (size, pipe) in measured {
        let MeasuredPipe {
            outside_diameter,
            out_of_roundness,
            source,
        } = pipe;
        to.quantity("measured-diameter", size.value, outside_diameter);
        to.quantity("measured-roundness", size.value, out_of_roundness);
        to.text("measured-pipe-source", size.value, source);
    }
    to.quantity("pipe-temperature", ALONE, pipe_temperature);
    fittings::facts(fittings, &mut to);
    equipment::heater(heater, &mut to);
    window(procedure, &mut to);
    equipment::tools(tools, &mut to);
    equipment::cleaning(cleaning.as_ref(), &mut to);
    times::facts(procedure, cycles, cold_weather.as_ref(), &mut to);
    stated("least-wall", "least-wall-source", least_wall, &mut to);
    records(procedure, &mut to);
    if let Some(qualification) = qualification {
        self::qualification(qualification, &mut to);
    }
    if let Some(figures) = figures {
        let Figures {
            confirmations,
            governing,
        } = figures;
        to.text("confirmations", ALONE, confirmations);
        for (figure, governs) in governing {
            to.word("governing", figure.value.as_str(), [governs]);
        }
    }
    self::documents(documents, &mut to);
    to.facts
}

fn revision(revision: &Revision, to: &mut Collector<'_>) {
    let Revision {
        number,
        date,
        effective,
        change,
    } = revision;
    let of = number.value.to_string();
    to.add(
        "revision",
        of.as_str(),
        Value::Word(date.value.to_string()),
        date.value.to_string(),
        date.span,
    );
    if let Some(effective) = effective {
        let day = effective.value.to_string();
        let value = Value::Word(day.clone());
        to.add("effective", of.as_str(), value, day, effective.span);
    }
    to.text("revision-change", of.as_str(), change);
}

/// The resin by its code, so that another spelling of it is the same.
fn resin(procedure: &Procedure<'_>, to: &mut Collector<'_>) {
    let written = &procedure.spec.resin;
    let code = procedure.resin.as_ref().map(|resin| resin.code.as_str());
    let value = Value::Word(code.unwrap_or(&written.value).to_owned());
    to.add("resin", ALONE, value, &written.value, written.span);
}

fn pipes(procedure: &Procedure<'_>, to: &mut Collector<'_>) {
    let units = procedure.practice().units;
    for joint in &procedure.joints {
        for pipe in &joint.pipes {
            let of = Of::size_and(joint.size, &pipe.label.full_name(units));
            to.present("pipe", of, pipe.claimed_at);
        }
    }
}

/// The window of the heater's faces, which the tables or a confirmation give.
fn window(procedure: &Procedure<'_>, to: &mut Collector<'_>) {
    if let Some(window) = &procedure.window {
        let unit = procedure.practice().units.temperature_unit();
        let shown = temperature_range(window.value, unit, "to");
        let place = procedure.spec.practice.span;
        to.add("heater-window", ALONE, window.value.into(), shown, place);
    }
}

/// A value that may have a source of the author's.
fn stated<T: Clone + Into<Value>>(
    variable: &'static str,
    of_source: &'static str,
    stated: &Option<Stated<T>>,
    to: &mut Collector<'_>,
) {
    if let Some(Stated { value, source }) = stated {
        to.quantity(variable, ALONE, [value]);
        to.text(of_source, ALONE, source);
    }
}

/// The records that are cited, those of a file by what stands in it.
fn records(procedure: &Procedure<'_>, to: &mut Collector<'_>) {
    let inline = procedure.spec.qualification.iter().flat_map(|q| &q.records);
    for record in inline {
        let RecordCitation {
            number,
            date,
            revision,
            span,
        } = record;
        let cited = (date.value, revision.value);
        to.add(
            "record",
            number.value.as_str(),
            Value::Word(format!("{cited:?}")),
            date.value.to_string(),
            *span,
        );
    }
    for file in procedure.records {
        let cited = (file.record.date.value, file.record.revision.value);
        to.add(
            "record",
            file.record.number.value.as_str(),
            Value::Word(format!("{cited:?}")),
            file.record.date.value.to_string(),
            file.named_at,
        );
    }
}

fn qualification(qualification: &Qualification, to: &mut Collector<'_>) {
    let Qualification {
        rules,
        operator_qualification,
        // Compared with those of files, as the procedure cites them.
        records: _,
        record_files,
        range,
        span: _,
    } = qualification;
    for rule in rules {
        to.present("qualification-rule", rule.value.as_str(), rule.span);
    }
    to.text("operator-qualification", ALONE, operator_qualification);
    for file in record_files {
        to.present("record-file", file.value.as_str(), file.span);
    }
    for RangeRule { rule, source } in range {
        let of = words::name(WIDER_RANGES, &rule.value);
        to.present("range-rule", of, rule.span);
        to.text("range-rule-source", of, [source]);
    }
}

fn documents(documents: &Documents, to: &mut Collector<'_>) {
    let Documents {
        paper,
        languages,
        text_language,
        strips,
        card,
    } = documents;
    to.word("paper", ALONE, paper);
    let (first, second) = (languages.first(), languages.get(1));
    to.word("language", ALONE, first);
    to.word("second-language", ALONE, second);
    to.word("text-language", ALONE, text_language);
    if let Some(strips) = strips {
        let Strips {
            usage,
            thickness,
            long,
        } = strips;
        to.word("strip-use", ALONE, [usage]);
        to.quantity("strip-thickness", ALONE, thickness);
        to.word("long-strips", ALONE, long);
    }
    let Cards {
        trim,
        flip,
        lanyard,
        copies,
    } = card;
    to.word("card-trim", ALONE, trim);
    to.word("card-flip", ALONE, flip);
    to.word("card-lanyard", ALONE, lanyard);
    to.word("card-copies", ALONE, copies);
}
