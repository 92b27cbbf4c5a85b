//! How long a front can be.

use dyebook_documents::{Method, Range};

/// No run that anybody reads Rf from is shorter (common practice, no source).
const SHORTEST_CM: f64 = 2.0;
/// No paper of a class is higher, where the layout doesn't say (common practice, no source).
const HIGHEST_PAPER_CM: f64 = 30.0;

/// Front distances in cm that the paper allows at all, whatever the method accepts.
pub(crate) fn possible_front(method: &Method) -> Range {
    let height = method
        .layout
        .as_ref()
        .and_then(|layout| layout.paper_height_cm);
    Range {
        low: SHORTEST_CM,
        high: height.unwrap_or(HIGHEST_PAPER_CM),
    }
}

/// Front distances in cm that are usual: those accepted, on the paper above the start line.
pub(crate) fn usual_front(method: &Method) -> Range {
    let possible = possible_front(method);
    let accepted = method.acceptance.as_ref();
    let baseline = method
        .layout
        .as_ref()
        .and_then(|layout| layout.baseline_cm)
        .unwrap_or(0.0);
    Range {
        low: accepted
            .and_then(|a| a.front_min_cm)
            .unwrap_or(possible.low),
        high: accepted
            .and_then(|a| a.front_max_cm)
            .unwrap_or(possible.high - baseline),
    }
}
