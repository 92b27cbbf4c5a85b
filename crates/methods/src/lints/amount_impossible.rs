//! More of a component than any liquid can hold.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::{Basis, Component, Severity};

pub(super) const LINT: Lint = Lint {
    id: "amount-impossible",
    severity: Severity::Stop,
    why: "a slip of the decimal point or of the basis makes a liquid that nobody can make up",
    run,
    fires: &[
        LintExample::set(
            "salt in an amount without end",
            &[("/developer/components/2/amount", "1e308")],
        ),
        LintExample::set(
            "alcohol beyond pure alcohol",
            &[(
                "/developer/components",
                r#"[{"substance": "water", "make_up_to_volume": true}, {"substance": "ethanol", "amount": 300, "basis": "% v/v"}]"#,
            )],
        ),
        LintExample::set(
            "a stock of more than itself",
            &[(
                "/developer/components",
                r#"[{"substance": "water", "make_up_to_volume": true}, {"substance": "acetic acid", "amount": 1, "basis": "% v/v", "stock": {"name": "glacial acetic acid", "strength": 997, "basis": "% w/w"}}]"#,
            )],
        ),
    ],
    silent: &[
        LintExample::set(
            "a third of a brine",
            &[("/developer/components/2/amount", "12")],
        ),
        LintExample::set(
            "parts have no limit",
            &[(
                "/developer/components",
                r#"[{"substance": "water", "amount": 400, "basis": "parts v"}, {"substance": "ethanol", "amount": 300, "basis": "parts v"}]"#,
            )],
        ),
    ],
};

/// The most that may be written in a basis, and why not more.
///
/// A share of a whole is 100 % at most, by definition. The others are common practice without a
/// source: the most soluble salts stay below 400 g in 100 mL, and pure water is 55 mol in a litre
/// of itself, which nothing weighed into a developing solvent comes near to.
fn most(basis: Basis) -> Option<(f64, &'static str)> {
    match basis {
        Basis::VolumePercent | Basis::MassPercent => {
            Some((100.0, "a share of the whole is 100 % at most"))
        }
        Basis::MassVolumePercent => Some((400.0, "no salt dissolves to more than 400 g in 100 mL")),
        Basis::GramPerLitre => Some((4000.0, "no salt dissolves to more than 4000 g in a litre")),
        Basis::MolePerLitre => Some((60.0, "even pure water is only about 55 mol/L")),
        Basis::VolumeParts => None,
    }
}

fn run(context: &Context<'_>) -> Vec<Finding> {
    let components = context.method.developer.components.iter().enumerate();
    components
        .flat_map(|(index, component)| {
            let stated = [of_component(component), of_stock(component)];
            stated
                .into_iter()
                .flatten()
                .filter_map(move |(field, what, value, basis)| {
                    let (most, why) = most(basis)?;
                    (value > most).then(|| {
                        LINT.finding(
                            format!("/developer/components/{index}/{field}"),
                            format!(
                                "{what} is {} {}, which can't be: {why}",
                                shown(value),
                                basis.symbol()
                            ),
                        )
                        .hint("look at the decimal point and at `basis`")
                    })
                })
        })
        .collect()
}

/// As a person writes it: `300`, and `1e308` instead of a line of zeros.
fn shown(value: f64) -> String {
    if value < 1e6 {
        value.to_string()
    } else {
        format!("{value:e}")
    }
}

/// Field, what it is, value, basis.
type Stated = (&'static str, String, f64, Basis);

fn of_component(component: &Component) -> Option<Stated> {
    let what = component.substance.clone();
    Some(("amount", what, component.amount?, component.basis?))
}

fn of_stock(component: &Component) -> Option<Stated> {
    let stock = component.stock.as_ref()?;
    let what = format!("the stock of {}", component.substance);
    Some(("stock/strength", what, stock.strength, stock.basis))
}
