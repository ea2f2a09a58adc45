//! The ways to pour a floor: what each takes, where the floor is too high, what grinding saves.

use engine::bid::Bid;
use engine::quantity::{Dimension, System};
use floor::grind;
use floor::peaks;
use floor::pours::{self, PourOption, Terms};
use floor::survey::FloorSurvey;

use super::show::{length, spot, written};
use crate::print::{Terminal, table};

/// Places above the finish level that are listed.
const MOST_PEAKS: usize = 3;

/// Prints the ways to pour a floor, and what grinding first would change.
pub(super) fn show(bid: &Bid, survey: &FloorSurvey, terms: &Terms, terminal: &mut Terminal<'_>) {
    let options = pours::options(survey, terms);
    show_options(bid, &options, terms, terminal);
    show_too_high(bid, survey, terminal);
    if terms.can_grind {
        show_curve(bid, survey, terms, terminal);
    } else {
        terminal
            .line("  The price book has no rate for grinding: add grinding, by area, to compare.");
    }
}

fn show_options(bid: &Bid, options: &[PourOption], terms: &Terms, terminal: &mut Terminal<'_>) {
    let money = |value: f64| written(bid, value, Dimension::MONEY);
    let area = |value: f64| written(bid, value, Dimension::AREA);
    let rows = options.iter().map(|option| {
        vec![
            option.what.to_owned(),
            length(bid, option.off),
            area(option.ground.area),
            length(bid, option.poured.volume / option.poured.area.max(1e-9)),
            length(bid, option.deepest),
            written(bid, option.poured.volume, Dimension::VOLUME),
            format!("{}", option.bags),
            money(option.cost),
        ]
    });
    terminal.line(table(
        &[
            "Pour",
            "Ground off",
            "Over",
            "Mean depth",
            "Deepest",
            "In place",
            "Bags",
            "Cost",
        ],
        &[1, 2, 3, 4, 5, 6, 7],
        rows.collect(),
    ));
    if let Some(option) = options.first() {
        let [thin, one, more] = option.classes;
        terminal.line(format!(
            "  Of it, thinner than {}: {}; in one lift: {}; deeper than {}: {}.",
            length(bid, terms.thinnest),
            area(thin.area),
            area(one.area),
            length(bid, terms.thickest),
            area(more.area)
        ));
    }
}

/// Where the floor stands above the level at which the pour must end.
fn show_too_high(bid: &Bid, survey: &FloorSurvey, terminal: &mut Terminal<'_>) {
    let Some(finish) = survey.finish() else {
        return;
    };
    let peaks = peaks::peaks(&survey.surface, finish);
    for peak in peaks.iter().take(MOST_PEAKS) {
        let above = match length(bid, peak.above) {
            none if none == length(bid, 0.0) => "a hair".to_owned(),
            above => above,
        };
        terminal.line(format!(
            "  Stands {above} above the finish level at {}, over {}: grind it down there.",
            spot(bid, peak.at),
            written(bid, peak.part.area, Dimension::AREA)
        ));
    }
    if peaks.len() > MOST_PEAKS {
        terminal.line(format!(
            "  … and {} more such places, all lower",
            peaks.len() - MOST_PEAKS
        ));
    }
}

/// Steps of grinding that are listed, in inches: sixteenths, or two millimetres.
fn step(system: System) -> f64 {
    match system {
        System::Us => 1.0 / 16.0,
        System::Si => 2.0 / 25.4,
    }
}

/// What it costs to grind off a little more, and a little more.
fn show_curve(bid: &Bid, survey: &FloorSurvey, terms: &Terms, terminal: &mut Terminal<'_>) {
    let (options, cheapest) = grind::short_curve(
        &survey.surface,
        terms.cover,
        &terms.rates,
        pours::MOST_GROUND,
        step(bid.ledger.system),
    );
    // Less of a relief than a step, and none of it pays: nothing to choose from.
    if options.len() > 1 {
        let rows = options.iter().enumerate().map(|(at, option)| {
            let mark = if at == cheapest { "cheapest" } else { "" };
            vec![
                length(bid, option.off),
                written(bid, option.area, Dimension::AREA),
                written(bid, option.filled, Dimension::VOLUME),
                format!("{}", option.bags),
                written(bid, option.cost, Dimension::MONEY),
                mark.to_owned(),
            ]
        });
        terminal.line("");
        terminal.line(table(
            &["Ground off", "Over", "In place", "Bags", "Cost", ""],
            &[0, 1, 2, 3, 4],
            rows.collect(),
        ));
    }
    terminal.line(format!(
        "  Grinding is looked at down to {}; cables, heating and reinforcement may lie below.",
        length(bid, pours::MOST_GROUND)
    ));
    terminal.line("  Grinding makes silica dust: shroud and vacuum, and a fitted respirator where the rules on silica ask for it.");
}
