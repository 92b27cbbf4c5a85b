//! The spots of one paper's lanes with what they were found to be.

use crate::sheet_report::{SheetReport, SpotView};
use crate::words::{decimals, range, rf_with_u, signed};
use askama::Template;
use dyebook_documents::{ColourVerdict, Lane, Role};

/// A table of lanes and spots.
#[derive(Template)]
#[template(
    ext = "html",
    source = r#"<div class="wide">
<table>
<caption>{{ caption }}</caption>
<thead><tr><th scope="col">Spot</th><th scope="col">Rf ± u</th><th scope="col">Colour</th><th scope="col">Decision</th><th scope="col">Candidates and reason</th></tr></thead>
{% for lane in lanes %}<tbody class="together">
<tr><th scope="rowgroup" colspan="5" class="group">{{ crate::svg::breakable(lane.heading)|safe }}</th></tr>
{% for spot in lane.spots %}<tr><th scope="row">{{ spot.number }}</th><td><span class="num">{{ spot.rf }}</span>{% if !spot.own_rf.is_empty() %}<p>{{ spot.own_rf }}</p>{% endif %}</td><td>{{ crate::svg::breakable(spot.colour)|safe }}</td><td>{{ spot.decision }}</td><td>{% if !spot.candidates.is_empty() %}<ul>
{% for candidate in spot.candidates %}<li>{{ crate::svg::breakable(candidate)|safe }}</li>
{% endfor %}</ul>{% endif %}<p>{{ crate::svg::breakable(spot.reason)|safe }}</p>{% if !spot.own_identity.is_empty() %}<p>{{ crate::svg::breakable(spot.own_identity)|safe }}</p>{% endif %}</td></tr>
{% endfor %}{% if lane.spots.is_empty() %}<tr><td colspan="5">No spot was written for this lane.</td></tr>
{% endif %}</tbody>
{% endfor %}</table>
</div>
"#
)]
pub(crate) struct IdentityTable {
    caption: String,
    lanes: Vec<LaneRows>,
}

struct LaneRows {
    heading: String,
    spots: Vec<SpotRow>,
}

struct SpotRow {
    number: u32,
    rf: String,
    own_rf: String,
    colour: String,
    decision: &'static str,
    candidates: Vec<String>,
    reason: String,
    own_identity: String,
}

impl IdentityTable {
    /// The lanes of a paper that hold one of these roles; `None` where there are none.
    pub(crate) fn of(report: &SheetReport<'_>, paper: &str, roles: &[Role]) -> Option<Self> {
        let lanes: Vec<LaneRows> = report
            .sheet
            .lanes_of(paper)
            .filter(|lane| roles.contains(&report.role_of(lane)))
            .map(|lane| lane_rows(report, lane))
            .collect();
        (!lanes.is_empty()).then(|| Self {
            caption: format!("Paper {paper}"),
            lanes,
        })
    }
}

fn lane_rows(report: &SheetReport<'_>, lane: &Lane) -> LaneRows {
    LaneRows {
        heading: heading(report, lane),
        spots: report
            .spots_of(lane)
            .into_iter()
            .map(|spot| spot_row(report, &spot))
            .collect(),
    }
}

fn heading(report: &SheetReport<'_>, lane: &Lane) -> String {
    let role = match report.role_of(lane) {
        Role::Standard => "dye standard",
        Role::Sample => "sample",
        Role::Bridging => "bridging lane",
    };
    // A label such as "sample 3" says its role already.
    let says_role = lane.label.to_lowercase().starts_with(role);
    let role = if says_role { "" } else { role };
    let space = if says_role { "" } else { " " };
    let name = format!("Lane {}, {role}{space}{}", lane.lane, lane.label);
    let Some(found) = report.identity_of(lane) else {
        return name;
    };
    if let Some(why) = &found.failed {
        return format!("{name}. No answer, as the strategy failed: {why}");
    }
    let dyes: Vec<String> = found
        .dyes
        .iter()
        .map(|dye| {
            let chance = dye.probability.map_or_else(String::new, |p| {
                format!(" (probability {})", decimals(p, 2))
            });
            format!("{}{chance}", report.dye_name(&dye.dye))
        })
        .collect();
    if dyes.is_empty() {
        name
    } else {
        format!("{name}. Dyes said to be in it: {}", dyes.join(", "))
    }
}

fn spot_row(report: &SheetReport<'_>, spot: &SpotView<'_>) -> SpotRow {
    let identity = spot.identity;
    SpotRow {
        number: spot.number,
        rf: spot
            .rf
            .map_or_else(|| "not known".to_owned(), |rf| rf_with_u(rf, spot.u)),
        own_rf: own_rf(spot),
        colour: spot
            .row
            .colour
            .as_deref()
            .unwrap_or("not written")
            .to_owned(),
        decision: identity.map_or("not judged yet", |found| found.decision.words()),
        candidates: identity.map_or_else(Vec::new, |found| {
            found
                .candidates
                .iter()
                .map(|candidate| {
                    let chance = candidate
                        .probability
                        .map_or_else(String::new, |p| format!(", probability {}", decimals(p, 2)));
                    let colour = match candidate.colour {
                        ColourVerdict::Agrees => "colour agrees",
                        ColourVerdict::Disagrees => "colour disagrees",
                        ColourVerdict::NotJudged => "colour not judged",
                    };
                    format!(
                        "{}: Rf differs by {}, expected {}; {colour}{chance}",
                        report.dye_names(&candidate.dyes),
                        signed(candidate.rf_difference, 3),
                        range(candidate.expected)
                    )
                })
                .collect()
        }),
        reason: identity.map_or_else(String::new, |found| found.reason.clone()),
        own_identity: spot
            .row
            .reported_identity
            .as_ref()
            .map_or_else(String::new, |own| format!("The group wrote: {own}")),
    }
}

/// The group's own Rf beside ours, with the difference in words.
fn own_rf(spot: &SpotView<'_>) -> String {
    let Some(own) = &spot.row.reported_rf else {
        return String::new();
    };
    let places = u32::try_from(own.decimals()).unwrap_or(2).min(6);
    let verdict = match spot.rf {
        // At the decimals that the group wrote.
        Some(rf) if decimals(rf, places) == own.text() => "the same".to_owned(),
        Some(rf) => format!("{} from ours", signed(own.value() - rf, 3)),
        None => "nothing to compare".to_owned(),
    };
    format!("group's own {own}: {verdict}")
}
