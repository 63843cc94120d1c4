//! The sentences of the papers: a key each, with the quantities it is worded
//! over, and a file of texts per language. A clause is a variant that carries its
//! quantities, so none can be forgotten; a test finds a text that is missing,
//! left over, or words a quantity it was not given.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use minijinja::{Environment, UndefinedBehavior, Value};
use serde::Serialize;

/// A language the papers can be set in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Language {
    /// US English.
    En,
}

/// Declares the clauses: variant, key in the files, quantities.
macro_rules! clauses {
    ($($variant:ident: $key:literal $({ $($quantity:ident),* })?,)*) => {
        /// A sentence of the papers, with the quantities it is worded over.
        #[derive(Debug, Clone, PartialEq, Eq)]
        #[allow(missing_docs, reason = "the text in templates/clauses is the documentation")]
        pub enum Clause {
            $($variant $({ $($quantity: String),* })?,)*
        }

        impl Clause {
            /// Key and quantities of every clause.
            pub const ALL: &[(&'static str, &'static [&'static str])] = &[
                $(($key, &[$($(stringify!($quantity)),*)?]),)*
            ];

            /// The key, and the quantities by name.
            fn parts(self) -> (&'static str, BTreeMap<&'static str, String>) {
                match self {
                    $(Clause::$variant $({ $($quantity),* })? => (
                        $key,
                        BTreeMap::from([$($((stringify!($quantity), $quantity)),*)?]),
                    ),)*
                }
            }
        }
    };
}

clauses! {
    // The frame of every paper
    PaperLetter: "paper-letter",
    PaperA4: "paper-a4",
    PaperProcedure: "paper-procedure",
    PaperCard: "paper-card",
    PaperDepthMarks: "paper-depth-marks",
    DocumentTitle: "document-title" { number, revision, title, paper },
    StatusDraft: "status-draft",
    StatusWithdrawn: "status-withdrawn",
    StatusQualified: "status-qualified",
    DigestLabel: "digest-label",
    RevisionLabel: "revision-label",
    CheckLine: "check-line",
    VerifyLegend: "verify-legend",
    PageLabel: "page-label",
    OfLabel: "of-label",
    // Words used in several places
    To: "to",
    ToBeMeasured: "to-be-measured",
    NotStated: "not-stated",
    NotMeasured: "not-measured",
    AtMostSeconds: "at-most-seconds" { seconds },
    VerifyText: "verify-text" { text },
    WallsOfSizes: "walls-of-sizes" { sizes, walls },
    BasisStandard: "basis-standard",
    BasisMeasured: "basis-measured",
    BasisOrganization: "basis-organization",
    BasisDerived: "basis-derived",
    BasisSecondary: "basis-secondary",
    BasisPractice: "basis-practice",
    BasisRecalled: "basis-recalled",
    BasisNotFound: "basis-not-found",
    BasisDerivedFrom: "basis-derived-from" { worst },
    ServiceGas: "service-gas",
    ServiceWater: "service-water",
    ServiceGeothermal: "service-geothermal",
    ServiceIndustrial: "service-industrial",
    FittingCoupling: "fitting-coupling",
    FittingElbow: "fitting-elbow",
    FittingTee: "fitting-tee",
    FittingReducer: "fitting-reducer",
    FittingThreadedTransition: "fitting-threaded-transition",
    FittingCap: "fitting-cap",
    FittingSpigot: "fitting-spigot",
    AgentIsopropylAlcohol: "agent-isopropyl-alcohol",
    AgentDryCloth: "agent-dry-cloth",
    AgentWater: "agent-water",
    AgentAcetone: "agent-acetone",
    AgentNotStated: "agent-not-stated",
    AgentStrength: "agent-strength" { agent, strength },
    SizeWithGauge: "size-with-gauge" { size, gauge },
    // Facts at the head of the procedure
    FactService: "fact-service",
    FactResin: "fact-resin",
    FactSizes: "fact-sizes",
    FactWalls: "fact-walls",
    FactFittings: "fact-fittings",
    FactPipeTemperature: "fact-pipe-temperature",
    FactHeaterFace: "fact-heater-face",
    FactEffective: "fact-effective",
    // Scope
    TitleScope: "title-scope",
    Scope: "scope" { resin, organization, service },
    ScopeSizes: "scope-sizes" { sizes },
    ScopeWalls: "scope-walls" { walls },
    ScopeFittings: "scope-fittings" { fittings },
    ScopeTemperature: "scope-temperature" { range },
    ScopeTemperatureOpen: "scope-temperature-open",
    ScopeLimit: "scope-limit",
    ScopeLeastWall: "scope-least-wall" { wall },
    ScopeSpigotLengths: "scope-spigot-lengths" { lengths },
    ScopeSpigot: "scope-spigot",
    Deference: "deference",
    // References
    TitleReferences: "title-references",
    ReferencesIntro: "references-intro",
    ReferencesNone: "references-none",
    ReferencesFigures: "references-figures",
    // Cautions
    TitleCautions: "title-cautions",
    CautionsIntro: "cautions-intro",
    // Equipment
    TitleEquipment: "title-equipment",
    EquipmentIntro: "equipment-intro",
    EquipmentHeater: "equipment-heater",
    EquipmentAdapters: "equipment-adapters" { sizes },
    EquipmentGauges: "equipment-gauges" { gauges },
    EquipmentRings: "equipment-rings" { sizes },
    EquipmentCutter: "equipment-cutter" { size },
    EquipmentCutterAny: "equipment-cutter-any",
    EquipmentPyrometer: "equipment-pyrometer",
    EquipmentStick: "equipment-stick" { melts },
    EquipmentTwoSticks: "equipment-two-sticks" { melts, solid },
    EquipmentIndicator: "equipment-indicator",
    EquipmentTimer: "equipment-timer",
    EquipmentPower: "equipment-power",
    EquipmentSetDown: "equipment-set-down",
    EquipmentCleaning: "equipment-cleaning" { agent },
    EquipmentCloths: "equipment-cloths",
    EquipmentThermometer: "equipment-thermometer",
    EquipmentGloves: "equipment-gloves",
    EquipmentScrap: "equipment-scrap",
    // Heater
    TitleHeater: "title-heater",
    HeaterWindow: "heater-window",
    HeaterCaption: "heater-caption",
    HeaterWhat: "heater-what",
    HeaterValue: "heater-value",
    HeaterSetPoint: "heater-set-point",
    HeaterOffset: "heater-offset",
    HeaterStep: "heater-step",
    HeaterSwing: "heater-swing",
    HeaterFaceBand: "heater-face-band",
    HeaterFaceProven: "heater-face-proven",
    HeaterWindowLabel: "heater-window-label",
    HeaterAccuracy: "heater-accuracy",
    HeaterCheckWhen: "heater-check-when",
    HeaterCheckPyrometer: "heater-check-pyrometer",
    HeaterCheckStick: "heater-check-stick" { melts },
    HeaterCheckTwoSticks: "heater-check-two-sticks" { melts, solid },
    HeaterCheckNone: "heater-check-none",
    HeaterOutside: "heater-outside",
    // Materials
    TitleMaterials: "title-materials",
    MaterialsIntro: "materials-intro",
    MaterialsResin: "materials-resin" { resin },
    MaterialsSize: "materials-size",
    MaterialsWall: "materials-wall",
    MaterialsStandard: "materials-standard",
    MaterialsColor: "materials-color",
    MaterialsSuperseded: "materials-superseded" { resin, why },
    MaterialsDamage: "materials-damage",
    MaterialsMixing: "materials-mixing",
    // Dimensions
    TitleDimensions: "title-dimensions",
    DimensionsCaption: "dimensions-caption",
    ColumnSize: "column-size",
    ColumnWall: "column-wall",
    ColumnOd: "column-od",
    ColumnOdTolerance: "column-od-tolerance",
    ColumnLeastWall: "column-least-wall",
    ColumnWallTolerance: "column-wall-tolerance",
    ColumnInside: "column-inside",
    DimensionsNote: "dimensions-note",
    // Times
    TitleTimes: "title-times",
    TimesCaption: "times-caption" { resin },
    ColumnDepth: "column-depth",
    ColumnHeating: "column-heating",
    ColumnChangeOver: "column-change-over",
    ColumnHold: "column-hold",
    ColumnHandling: "column-handling",
    ColumnPressureTest: "column-pressure-test",
    TimesShortSide: "times-short-side",
    TimesCount: "times-count",
    TimesWaits: "times-waits",
    TimesTestUnset: "times-test-unset",
    TimesDepth: "times-depth",
    TimesDepthUnset: "times-depth-unset",
    // Steps
    TitleSteps: "title-steps",
    StepsIntro: "steps-intro",
    StepHeater: "step-heater" { set_point },
    StepHeaterDetail: "step-heater-detail" { window },
    StepPrintLine: "step-print-line",
    StepPrintLineDetail: "step-print-line-detail" { resin },
    StepCut: "step-cut",
    StepCutDetail: "step-cut-detail",
    StepChamfer: "step-chamfer",
    StepChamferDetail: "step-chamfer-detail",
    StepRing: "step-ring",
    StepRingDetail: "step-ring-detail",
    StepClean: "step-clean" { agent },
    StepCleanDetail: "step-clean-detail",
    StepHeat: "step-heat",
    StepHeatDetail: "step-heat-detail",
    StepCount: "step-count",
    StepCountDetail: "step-count-detail",
    StepOff: "step-off",
    StepOffDetail: "step-off-detail" { change_over },
    StepOffDetailNone: "step-off-detail-none",
    StepBadMelt: "step-bad-melt",
    StepBadMeltDetail: "step-bad-melt-detail",
    StepJoin: "step-join",
    StepJoinDetail: "step-join-detail",
    StepHold: "step-hold",
    StepHoldDetail: "step-hold-detail",
    StepInspect: "step-inspect" { wait },
    StepInspectOpen: "step-inspect-open",
    StepInspectDetail: "step-inspect-detail",
    // Field conditions
    TitleField: "title-field",
    Coil: "coil",
    CoilOvality: "coil-ovality" { ovality },
    Weather: "weather",
    WeatherHot: "weather-hot",
    Trench: "trench",
    TitleCold: "title-cold",
    ColdNone: "cold-none" { trigger },
    ColdNonePlain: "cold-none-plain",
    ColdApplies: "cold-applies" { trigger },
    ColdAppliesPlain: "cold-applies-plain",
    ColdFloor: "cold-floor" { floor },
    ColdTrial: "cold-trial" { step },
    ColdTrialPlain: "cold-trial-plain",
    ColdProve: "cold-prove" { short },
    ColdWrite: "cold-write",
    // Acceptance
    TitleAcceptance: "title-acceptance",
    AcceptanceIntro: "acceptance-intro",
    RejectionIntro: "rejection-intro",
    RulesIntro: "rules-intro",
    TestsIntro: "tests-intro",
    // Qualification
    TitleQualification: "title-qualification",
    QualificationRecord: "qualification-record" { number, date, revision },
    QualificationRecords: "qualification-records",
    QualificationNoRecord: "qualification-no-record",
    QualificationRules: "qualification-rules",
    QualificationGas: "qualification-gas",
    QualificationOperator: "qualification-operator" { how },
    QualificationOperatorOpen: "qualification-operator-open",
    QualificationOther: "qualification-other" { service },
    QualificationFuser: "qualification-fuser",
    QualificationCaption: "qualification-caption",
    ColumnCite: "column-cite",
    ColumnText: "column-text",
    ColumnStanding: "column-standing",
    // Sources
    TitleSources: "title-sources",
    SourcesIntro: "sources-intro",
    SourcesCaption: "sources-caption",
    ColumnFigure: "column-figure",
    ColumnValue: "column-value",
    ColumnSource: "column-source",
    FigureOd: "figure-od",
    FigureOdTolerance: "figure-od-tolerance",
    FigureLeastWall: "figure-least-wall",
    FigureWallTolerance: "figure-wall-tolerance",
    FigureInside: "figure-inside",
    FigureDepth: "figure-depth",
    FigureHeating: "figure-heating",
    FigureHold: "figure-hold",
    FigureChangeOver: "figure-change-over",
    FigureHandling: "figure-handling",
    FigurePressureTest: "figure-pressure-test",
    FigureWindow: "figure-window",
    FigureColdTrigger: "figure-cold-trigger",
    FigureColdStep: "figure-cold-step",
    FigureColdFloor: "figure-cold-floor",
    FigureStripThickness: "figure-strip-thickness",
    FigureLeastWallLimit: "figure-least-wall-limit",
    FigureStickAccuracy: "figure-stick-accuracy",
    FigureOvality: "figure-ovality",
    FigureHeater: "figure-heater",
    SourceSpec: "source-spec",
    SourceUnsourced: "source-unsourced",
    StatementsHazards: "statements-hazards",
    StatementsAcceptance: "statements-acceptance",
    StatementsRejection: "statements-rejection",
    StatementsRules: "statements-rules",
    StatementsTests: "statements-tests",
    StatementsCompatibility: "statements-compatibility",
    StatementsCold: "statements-cold",
    StatementsRegulation: "statements-regulation",
    StatementsSteps: "statements-steps",
    StatementsStepsValue: "statements-steps-value",
    StatementsStepsSource: "statements-steps-source",
    SourcesAbsent: "sources-absent" { what, note },
    AbsentDepth: "absent-depth",
    AbsentWarmUp: "absent-warm-up",
    AbsentWall: "absent-wall",
    AbsentPressureTest: "absent-pressure-test",
    AbsentCycles: "absent-cycles" { sizes },
    SourcesConflict: "sources-conflict" { figures, decision },
    SourcesOpen: "sources-open",
    SourcesWarnings: "sources-warnings",
    SourcesNoWarnings: "sources-no-warnings",
    Warning: "warning" { message, rule },
    // Revisions, approval
    TitleRevisions: "title-revisions",
    RevisionsCaption: "revisions-caption",
    ColumnRevision: "column-revision",
    ColumnDate: "column-date",
    ColumnEffective: "column-effective",
    ColumnChange: "column-change",
    TitleApproval: "title-approval",
    Approval: "approval",
    RolePrepared: "role-prepared",
    RoleReviewed: "role-reviewed",
    RoleApproved: "role-approved",
    LabelName: "label-name",
    LabelSignature: "label-signature",
    LabelDate: "label-date",
    // The pocket card
    CardHeading: "card-heading",
    CardLabel: "card-label",
    CardWindow: "card-window",
    CardColumnSize: "card-column-size",
    CardColumnOd: "card-column-od",
    CardColumnDepth: "card-column-depth",
    CardColumnHeat: "card-column-heat",
    CardColumnHold: "card-column-hold",
    CardMost: "card-most" { seconds },
    CardMeasure: "card-measure",
    CardChangeOver: "card-change-over" { time },
    CardHandling: "card-handling" { time },
    CardPressureTest: "card-pressure-test" { time },
    CardBlank: "card-blank",
    CardSeconds: "card-seconds",
    CardBlankPipe: "card-blank-pipe",
    CardNoCold: "card-no-cold" { trigger },
    CardStepFaces: "card-step-faces",
    CardStepCut: "card-step-cut",
    CardStepRing: "card-step-ring",
    CardStepClean: "card-step-clean",
    CardStepHeat: "card-step-heat",
    CardStepCount: "card-step-count",
    CardStepOff: "card-step-off",
    CardStepJoin: "card-step-join",
    CardStepHold: "card-step-hold",
    CardReject: "card-reject",
    CardRejectRing: "card-reject-ring",
    CardRejectDepth: "card-reject-depth",
    CardRejectGap: "card-reject-gap",
    CardRejectAngle: "card-reject-angle",
    CardRejectBuckled: "card-reject-buckled",
    CardRejectDirt: "card-reject-dirt",
    CardStop: "card-stop",
    CardDeference: "card-deference",
    CardPrint: "card-print",
    CardCut: "card-cut",
    CardLamination: "card-lamination" { least, most },
    // Depth marks
    MarksRevision: "marks-revision",
    MarksGauge: "marks-gauge",
    MarksMark: "marks-mark",
    MarksStart: "marks-start",
    MarksFold: "marks-fold",
    MarksLap: "marks-lap",
    MarksWitness: "marks-witness" { distance },
    MarksPrint: "marks-print",
    MarksLoad: "marks-load",
    MarksNotPrinted: "marks-not-printed",
    MarksUnmeasured: "marks-unmeasured" { size },
    MarksNoDiameter: "marks-no-diameter" { size },
    MarksNoteBars: "marks-note-bars" { tolerance, depth_error },
    MarksNoteCut: "marks-note-cut",
    MarksNoteWrap: "marks-note-wrap" { thickness },
    MarksNoteMark: "marks-note-mark",
    MarksNoteGovern: "marks-note-govern",
}

/// The texts of one language.
#[derive(Debug)]
pub struct Clauses {
    texts: BTreeMap<String, String>,
    environment: Environment<'static>,
}

impl Clauses {
    /// The texts of a language.
    pub fn load(language: Language) -> &'static Clauses {
        static EN: LazyLock<Clauses> =
            LazyLock::new(|| Clauses::read(include_str!("../../templates/clauses/en.yaml")));
        match language {
            Language::En => &EN,
        }
    }

    fn read(file: &str) -> Self {
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        Self {
            // The texts are part of the program and a test renders every one.
            texts: serde_yaml::from_str(file)
                .unwrap_or_else(|error| panic!("the clauses cannot be read: {error}")),
            environment,
        }
    }

    /// Words a clause.
    pub fn render(&self, clause: Clause) -> String {
        let (key, quantities) = clause.parts();
        let quantities = Value::from(quantities);
        self.texts
            .get(key)
            .ok_or_else(|| format!("clause {key}: no text"))
            .and_then(|text| {
                self.environment
                    .render_str(text, quantities)
                    .map_err(|error| format!("clause {key}: {error}"))
            })
            .unwrap_or_else(|error| panic!("{error}"))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_language_words_every_clause_over_its_quantities() {
        let clauses = Clauses::load(Language::En);
        let mut declared = BTreeSet::new();
        for (key, quantities) in Clause::ALL {
            assert!(declared.insert(*key), "{key} is declared twice");
            let text = clauses
                .texts
                .get(*key)
                .unwrap_or_else(|| panic!("{key} has no text"));
            let template = clauses.environment.template_from_str(text).unwrap();
            let used: BTreeSet<_> = template.undeclared_variables(false).into_iter().collect();
            let given: BTreeSet<_> = quantities.iter().map(ToString::to_string).collect();
            assert_eq!(used, given, "{key}");
            let values: BTreeMap<_, _> = quantities.iter().map(|name| (*name, "?")).collect();
            assert!(
                !template
                    .render(Value::from(values))
                    .unwrap()
                    .trim()
                    .is_empty(),
                "{key} is empty"
            );
        }
        let texts: BTreeSet<_> = clauses.texts.keys().map(String::as_str).collect();
        assert_eq!(texts, declared);
    }

    #[test]
    fn what_a_user_writes_is_never_a_template() {
        let words = Clauses::load(Language::En);
        let hostile = "{{ 7 * 7 }} {% raw %} <b>&";
        let shown = words.render(Clause::VerifyText {
            text: hostile.to_owned(),
        });
        assert!(shown.contains(hostile), "{shown}");
    }
}
