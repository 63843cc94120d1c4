//! Which part of the table of the sources a quantity stands in, and where the papers
//! print it; both are decided by its name.

use super::writer::Clause;

/// Parts of the table, in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Times,
    Pipe,
    Fit,
    Heater,
    Cold,
    Unlike,
    Other,
    Sentences,
}

impl Part {
    /// Every part with its title.
    pub(super) const ALL: [(Part, Clause); 8] = [
        (Part::Times, Clause::SourcesPartTimes),
        (Part::Pipe, Clause::SourcesPartPipe),
        (Part::Fit, Clause::SourcesPartFit),
        (Part::Heater, Clause::SourcesPartHeater),
        (Part::Cold, Clause::SourcesPartCold),
        (Part::Unlike, Clause::SourcesPartUnlike),
        (Part::Other, Clause::SourcesPartOther),
        (Part::Sentences, Clause::SourcesPartSentences),
    ];
}

/// The part of the table that a quantity stands in, and where the papers print it.
pub(super) fn placed(name: &Clause) -> (Part, Clause) {
    match name {
        Clause::FigureHeating | Clause::FigureHold | Clause::FigureChangeOver => {
            (Part::Times, Clause::PrintedTimesStepsCard)
        }
        Clause::FigureHandling | Clause::FigureCooling | Clause::FigurePressureTest => {
            (Part::Times, Clause::PrintedTimesCard)
        }
        Clause::FigureDepth | Clause::FigureWitnessLine => {
            (Part::Pipe, Clause::PrintedTimesCardMarks)
        }
        Clause::FigureOd => (Part::Pipe, Clause::PrintedTimesPipeCard),
        Clause::FigureLeastWallLimit => (Part::Pipe, Clause::PrintedFirstPageCard),
        Clause::FigureOdTolerance
        | Clause::FigureOdPlus
        | Clause::FigureOdBand
        | Clause::FigureOutOfRoundness
        | Clause::FigureLeastWall
        | Clause::FigureWallTolerance
        | Clause::FigureInside => (Part::Pipe, Clause::PrintedPipe),
        Clause::FigureOvality => (Part::Pipe, Clause::PrintedField),
        Clause::FigureFitMouth
        | Clause::FigureFitRoot
        | Clause::FigureFitAtMouth
        | Clause::FigureFitAtRoot => (Part::Fit, Clause::PrintedPipe),
        Clause::FigureSpigot
        | Clause::FigureSpigotOd
        | Clause::FigureSpigotWall
        | Clause::FigureSpigotNeeded
        | Clause::FigureFitRoom
        | Clause::FigureFitRing => (Part::Fit, Clause::PrintedSpigots),
        Clause::FigureWindow | Clause::FigureSetPoint => {
            (Part::Heater, Clause::PrintedHeaterStepsCard)
        }
        Clause::FigureFaceOffset
        | Clause::FigureSwing
        | Clause::FigureControllerStep
        | Clause::FigureAccuracy
        | Clause::FigureFaceBand
        | Clause::FigureFaceProven
        | Clause::FigureStickMelts
        | Clause::FigureStickSolid
        | Clause::FigureStickAccuracy => (Part::Heater, Clause::PrintedHeater),
        Clause::FigureColdTrigger | Clause::FigureColdFloor => {
            (Part::Cold, Clause::PrintedColdCard)
        }
        Clause::FigureColdStep | Clause::FigureShortHeating | Clause::FigureLowestAmbient => {
            (Part::Cold, Clause::PrintedCold)
        }
        Clause::FigureUnlikePipe
        | Clause::FigureUnlikeFitting
        | Clause::FigureUnlikeOn
        | Clause::FigureUnlikeOff => (Part::Unlike, Clause::PrintedUnlike),
        Clause::FigurePipeTemperature => (Part::Other, Clause::PrintedFirstPageCard),
        Clause::FigureCleaning => (Part::Other, Clause::PrintedStepsCard),
        Clause::FigureStripThickness => (Part::Other, Clause::PrintedMarks),
        Clause::StatementsHazards => (Part::Sentences, Clause::PrintedSafety),
        Clause::StatementsAcceptance
        | Clause::StatementsRejection
        | Clause::StatementsRules
        | Clause::StatementsTests => (Part::Sentences, Clause::PrintedInspection),
        Clause::StatementsCompatibility => (Part::Sentences, Clause::PrintedPipe),
        Clause::StatementsTimes => (Part::Sentences, Clause::PrintedField),
        Clause::StatementsCold => (Part::Sentences, Clause::PrintedCold),
        Clause::StatementsQualification => (Part::Sentences, Clause::PrintedHere),
        Clause::StatementsSteps => (Part::Sentences, Clause::PrintedSteps),
        _ => (Part::Other, Clause::PrintedProcedure),
    }
}
