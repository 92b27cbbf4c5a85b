//! Each paper drawn to scale, each drawing followed by its table.

use crate::drawings::hatch::hatch_name;
use crate::drawings::paper::{PaperFigure, paper_drawing};
use crate::drawings::share_of_page;
use crate::page::{Section, rendered};
use crate::parts::drawing_key::DrawingKey;
use crate::parts::paper_figure::paper_figure;
use crate::sheet_report::SheetReport;
use crate::svg::number;
use crate::words::{count, range, rf_with_u};
use askama::Template;
use dyebook_documents::{Lane, WrittenDecimal};

#[derive(Template)]
#[template(
    ext = "html",
    source = r##"<p class="lead"><a href="#drawing-key">How to read the drawings</a> stands behind the last of them.</p>
{% for paper in papers %}<h3>Paper {{ paper.name }}</h3>
<figure>
<div style="width:{{ paper.share }}%" class="drawn">{{ paper.svg|safe }}</div>
<figcaption>{{ paper.caption }}</figcaption>
</figure>
<div class="wide">
<table{% if paper.rows.len() <= 12 %} class="short"{% endif %}>
<caption>Paper {{ paper.name }}: what was written, and Rf</caption>
<thead><tr><th scope="col">Lane</th><th scope="col">Label</th><th scope="col">Front, {{ paper.front_unit }}</th><th scope="col">Spot</th><th scope="col">Distance, {{ paper.distance_unit }}</th><th scope="col">Width</th><th scope="col">Rf ± u</th><th scope="col">Colour and shape</th></tr></thead>
<tbody>
{% for row in paper.rows %}<tr><th scope="row">{{ row.lane }}</th><td>{{ crate::svg::breakable(row.label)|safe }}</td><td>{{ row.front }}</td><td>{{ row.spot }}</td><td>{{ row.distance }}</td><td>{{ row.width }}</td><td class="num">{{ row.rf }}</td><td>{{ crate::svg::breakable(row.look)|safe }}</td></tr>
{% endfor %}</tbody>
</table>
</div>
{% if !paper.bars.is_empty() %}<div class="wide">
<table class="short">
<caption>Paper {{ paper.name }}: the expected ranges drawn</caption>
<thead><tr><th scope="col">Letter</th><th scope="col">Dye</th><th scope="col">Expected Rf</th><th scope="col">Hatching</th><th scope="col">Drawn in lane</th></tr></thead>
<tbody>
{% for bar in paper.bars %}<tr><th scope="row">{{ bar.letter }}</th><td>{{ crate::svg::breakable(bar.dye)|safe }}</td><td class="num">{{ bar.expected }}</td><td>{{ bar.hatching }}</td><td>{{ bar.lanes }}</td></tr>
{% endfor %}</tbody>
</table>
</div>
{% endif %}{% endfor %}{{ key|safe }}
"##
)]
struct Papers {
    key: String,
    papers: Vec<PaperView>,
}

struct PaperView {
    name: String,
    share: String,
    svg: String,
    caption: String,
    front_unit: &'static str,
    distance_unit: &'static str,
    rows: Vec<PaperRow>,
    bars: Vec<BarRow>,
}

struct BarRow {
    letter: String,
    dye: String,
    expected: String,
    hatching: &'static str,
    lanes: String,
}

struct PaperRow {
    lane: u32,
    label: String,
    front: String,
    spot: String,
    distance: String,
    width: String,
    rf: String,
    look: String,
}

pub(super) fn section(report: &SheetReport<'_>) -> Option<Section> {
    let papers: Vec<PaperView> = (1..)
        .zip(report.sheet.papers())
        .map(|(index, paper)| paper_view(report, index, paper))
        .collect();
    if papers.is_empty() {
        return None;
    }
    let body = Papers {
        key: rendered(&DrawingKey::new()),
        papers,
    };
    Some(Section::new("papers", "The papers", &body))
}

fn paper_view(report: &SheetReport<'_>, index: usize, paper: &str) -> PaperView {
    let (figure, caption) = paper_figure(report, index, paper);
    let drawing = paper_drawing(&figure, description(&figure));
    let units = report.sheet.units;
    let rows = report
        .sheet
        .lanes_of(paper)
        .flat_map(|lane| lane_rows(report, lane))
        .collect();
    PaperView {
        name: paper.to_owned(),
        share: number(share_of_page(&drawing)),
        svg: drawing.inline(),
        caption,
        front_unit: units.front.symbol(),
        distance_unit: units.distance.symbol(),
        rows,
        bars: bar_rows(&figure),
    }
}

/// What a screen reader says before the table.
fn description(figure: &PaperFigure) -> String {
    let spots = figure.lanes.iter().map(|lane| lane.spots.len()).sum();
    format!(
        "{} with {}, each lane with its front, its spots and the expected ranges of its \
         candidates. The table that follows holds every number.",
        count(figure.lanes.len(), "lane", "lanes"),
        count(spots, "spot", "spots")
    )
}

/// Each range once, with the lanes it is drawn in.
fn bar_rows(figure: &PaperFigure) -> Vec<BarRow> {
    let mut rows: Vec<BarRow> = Vec::new();
    for lane in &figure.lanes {
        for bar in &lane.bars {
            let expected = range(bar.expected);
            let same = |row: &&mut BarRow| row.letter == bar.letter && row.expected == expected;
            if let Some(row) = rows.iter_mut().find(same) {
                row.lanes.push_str(", ");
                row.lanes.push_str(&lane.number.to_string());
            } else {
                rows.push(BarRow {
                    letter: bar.letter.clone(),
                    dye: bar.name.clone(),
                    expected,
                    hatching: hatch_name(bar.hatch),
                    lanes: lane.number.to_string(),
                });
            }
        }
    }
    rows.sort_by(|a, b| a.letter.cmp(&b.letter));
    rows
}

fn lane_rows(report: &SheetReport<'_>, lane: &Lane) -> Vec<PaperRow> {
    let lane_front = lane.rows.iter().find_map(|row| row.front.as_ref());
    let blank = |front: Option<&WrittenDecimal>| PaperRow {
        lane: lane.lane,
        label: lane.label.to_string(),
        front: front.map_or_else(|| "not written".to_owned(), ToString::to_string),
        spot: "none".to_owned(),
        distance: "none".to_owned(),
        width: String::new(),
        rf: String::new(),
        look: String::new(),
    };
    let spots = report.spots_of(lane);
    if spots.is_empty() {
        return vec![blank(lane_front)];
    }
    let text = |value: &Option<WrittenDecimal>| value.as_ref().map(ToString::to_string);
    spots
        .into_iter()
        .map(|spot| PaperRow {
            spot: spot.number.to_string(),
            distance: text(&spot.row.distance).unwrap_or_default(),
            width: text(&spot.row.width).map_or_else(
                || "not written".to_owned(),
                |width| {
                    let unit = report.sheet.units.width;
                    format!("{width} {}", unit.map_or("", |unit| unit.symbol()))
                },
            ),
            rf: spot
                .rf
                .map_or_else(|| "not known".to_owned(), |rf| rf_with_u(rf, spot.u)),
            look: [
                &spot.row.colour,
                &spot.row.depth,
                &spot.row.shape,
                &spot.row.remark,
            ]
            .into_iter()
            .flatten()
            .cloned()
            .collect::<Vec<_>>()
            .join(", "),
            ..blank(spot.row.front.as_ref().or(lane_front))
        })
        .collect()
}
