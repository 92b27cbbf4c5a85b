//! Which dyes of the reference set a spot would fit.

use crate::context::Context;
use crate::known_spots::expected_colours;
use dyebook_documents::{ColourVerdict, judge_colour};

/// Names of the dyes, other than one, whose expected range holds an Rf and whose colours don't
/// disagree.
pub(crate) fn fitting_dyes(
    context: &Context<'_>,
    rf: f64,
    colour: Option<&str>,
    except: &str,
) -> Vec<String> {
    let fits = context.method.references.iter().filter(|reference| {
        let verdict = judge_colour(colour, expected_colours(context, &reference.dye));
        reference.dye != except
            && reference.expected_rf.contains(rf)
            && verdict != ColourVerdict::Disagrees
    });
    fits.map(|reference| context.dye_name(&reference.dye))
        .collect()
}
