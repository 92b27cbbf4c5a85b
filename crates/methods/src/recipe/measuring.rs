//! The ways to bring one component in: from which bottle, how much, how exactly.

use super::dilution::{diluted_concentration, largest_volume, stock_volume};
use super::glassware::{Measured, measured_g, measured_ml};
use super::stock_at_hand::{StockAtHand, strength_words};
use crate::composition::{DensityUsed, digits, pure_density, substance};
use dyebook_documents::Component;
use serde::Serialize;

/// One way to bring a component in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuringOption {
    /// The bottle, with its strength; `None` for the pure substance.
    pub stock: Option<String>,
    /// `weigh` or `measure`.
    pub action: &'static str,
    /// The exact amount.
    pub exact: f64,
    /// `g` or `mL`.
    pub unit: &'static str,
    /// The amount as it is measured; `None` where it can't be done.
    pub measured: Option<Measured>,
    /// Grams in a litre that the measured amount gives.
    pub resulting_g_per_l: Option<f64>,
    /// Whether that lies within the method's tolerance; `None` where it states none.
    pub within_tolerance: Option<bool>,
    /// Whether the method itself names this way.
    pub as_in_method: bool,
    /// Anything to know, such as why it can't be done.
    pub note: Option<String>,
    /// Densities used.
    pub densities: Vec<DensityUsed>,
}

/// What is wanted of one substance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted<'a> {
    /// The method's component.
    pub(super) component: &'a Component,
    /// Identifier of the substance.
    pub(super) substance: &'a str,
    /// Grams in a litre of the finished liquid.
    pub(super) g_per_l: f64,
    /// Tolerance, g/L.
    pub(super) tolerance_g_per_l: Option<f64>,
    /// Volume to make, mL.
    pub(super) volume_ml: f64,
}

/// All ways from the bottles given; the method's own comes first.
pub(super) fn options(wanted: &Wanted<'_>, bottles: &[StockAtHand]) -> Vec<MeasuringOption> {
    let mut options = Vec::new();
    let own = wanted
        .component
        .stock
        .as_ref()
        .map(|stock| StockAtHand::of_method(&wanted.component.substance, stock));
    match &own {
        Some(own) => options.push(from_stock(wanted, own, true)),
        None => options.extend(pure(wanted)),
    }
    let others = bottles
        .iter()
        .filter(|bottle| bottle.substance == wanted.substance)
        .filter(|bottle| own.as_ref().is_none_or(|own| own.stock != bottle.stock));
    options.extend(others.map(|bottle| from_stock(wanted, bottle, false)));
    options
}

fn from_stock(wanted: &Wanted<'_>, bottle: &StockAtHand, as_in_method: bool) -> MeasuringOption {
    let strength = strength_words(&bottle.stock);
    let shown = if bottle.name.contains(&strength) {
        bottle.name.clone()
    } else {
        format!("{} ({strength})", bottle.name)
    };
    let mut option = MeasuringOption {
        stock: Some(shown),
        action: "measure",
        exact: 0.0,
        unit: "mL",
        measured: None,
        resulting_g_per_l: None,
        within_tolerance: None,
        as_in_method,
        note: None,
        densities: Vec::new(),
    };
    let content = match bottle.content() {
        Ok(content) => content,
        Err(why) => {
            option.note = Some(why.to_string());
            return option;
        }
    };
    let stock_g_per_l = content.solute_g_per_ml * 1000.0;
    option.exact = stock_volume(stock_g_per_l, wanted.g_per_l, wanted.volume_ml);
    option.densities = content.densities;
    if option.exact > wanted.volume_ml * (1.0 + 1e-9) {
        option.note = Some(format!(
            "too weak: it holds {} g/L, and {} g/L are wanted",
            digits(stock_g_per_l),
            digits(wanted.g_per_l)
        ));
        return option;
    }
    if let Some(available) = bottle.available_ml.filter(|ml| *ml < option.exact) {
        option.note = Some(format!(
            "only {} mL at hand: enough for {} mL",
            digits(available),
            digits(largest_volume(stock_g_per_l, available, wanted.g_per_l))
        ));
        return option;
    }
    if option.exact > wanted.volume_ml * (1.0 - 1e-9) {
        option.note = Some("undiluted: the stock is as strong as the liquid wanted".to_owned());
    }
    let measured = measured_ml(option.exact);
    let resulting = diluted_concentration(stock_g_per_l, measured.amount, wanted.volume_ml);
    finish(option, wanted, measured, resulting)
}

/// The pure substance: poured where the method counts its volume, weighed otherwise.
fn pure(wanted: &Wanted<'_>) -> Option<MeasuringOption> {
    let known = substance(wanted.substance);
    let grams = wanted.g_per_l * wanted.volume_ml / 1000.0;
    let poured = known.is_some_and(|s| s.liquid_when_pure);
    let density = pure_density(wanted.substance).filter(|_| poured);
    let mut option = MeasuringOption {
        stock: None,
        action: "weigh",
        exact: grams,
        unit: "g",
        measured: None,
        resulting_g_per_l: None,
        within_tolerance: None,
        as_in_method: true,
        note: None,
        densities: Vec::new(),
    };
    // A gas such as ammonia comes as a solution only.
    if known.is_some_and(|s| s.base.is_some() && s.id == "ammonia") {
        return None;
    }
    let Some(density) = density else {
        let measured = measured_g(grams);
        let resulting = 1000.0 * measured.amount / wanted.volume_ml;
        return Some(finish(option, wanted, measured, resulting));
    };
    option.action = "measure";
    option.unit = "mL";
    option.exact = grams / density.g_per_ml;
    let measured = measured_ml(option.exact);
    let resulting = 1000.0 * measured.amount * density.g_per_ml / wanted.volume_ml;
    option.densities = vec![density];
    Some(finish(option, wanted, measured, resulting))
}

fn finish(
    option: MeasuringOption,
    wanted: &Wanted<'_>,
    measured: Measured,
    resulting: f64,
) -> MeasuringOption {
    let within = wanted
        .tolerance_g_per_l
        .map(|tolerance| (resulting - wanted.g_per_l).abs() <= tolerance * (1.0 + 1e-9));
    MeasuringOption {
        measured: Some(measured),
        resulting_g_per_l: Some(resulting),
        within_tolerance: within,
        ..option
    }
}
