//! Distance and front in each other's column.

use super::model::{Fit, Model, Remedy};
use super::standards::Standards;

/// Every value is the inverse of an Rf.
pub(crate) const MODEL: Model = Model {
    id: "columns-exchanged",
    why: "Distance and front in each other's column: every value is the inverse of an Rf.",
    habit: false,
    fit,
};

fn fit(standards: &Standards<'_>) -> Option<Fit> {
    if standards.values().any(|value| value <= 0.0) {
        return None;
    }
    let inverse = standards.values().map(|value| 1.0 / value);
    // |d(1/x)/dx| = 1/x²
    let log_slope = standards.values().map(|value| -2.0 * value.ln()).sum();
    let evidence = standards.transformed(inverse, log_slope);
    Some(Fit {
        evidence,
        size: None,
        remedy: Remedy::ColumnsExchanged,
    })
}

#[cfg(test)]
mod tests {
    use crate::example::Example;
    use crate::sheet_view::SheetView;
    use crate::signatures::diagnosis::diagnose;
    use crate::signatures::standards::Standards;

    fn model_of(example: &Example) -> Option<&'static str> {
        example.in_context(|context| {
            let view = SheetView::new(context);
            let standards = Standards::of_paper(context, view.papers[0].known.iter(), 6);
            diagnose(&standards, false).map(|diagnosis| diagnosis.model.id)
        })
    }

    #[test]
    fn inverse_values_are_told_from_all_others() {
        let exchanged = Example::clean().measured("1", |d, f| (f, d));
        assert_eq!(model_of(&exchanged), Some("columns-exchanged"));
    }

    #[test]
    fn values_in_their_own_columns_do_not_fire() {
        assert_eq!(model_of(&Example::clean()), None);
    }
}
