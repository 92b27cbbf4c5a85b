//! The documents beside the sheet report, each as a whole.

mod html_check;
mod more_examples;

use dyebook_report::*;
use more_examples as example;
use snapbox::{Data, assert_data_eq, file};

/// Every page of an invented example, with the figures that it must have.
fn pages() -> Vec<(&'static str, String, usize)> {
    vec![
        ("control_chart", control_chart(&example::chart()), 1),
        (
            "reference_sheet",
            reference_sheet(&example::references()),
            2,
        ),
        (
            "suitability_slip",
            suitability_slip(&example::slip(SlipVerdict::GoWithRestrictions)),
            0,
        ),
        ("query_list", query_list(&example::queries()), 0),
        (
            "solvent_comparison",
            solvent_comparison(&example::solvents()),
            1,
        ),
        ("batch_record", batch_record(&example::batch()), 0),
        ("bottle_label", bottle_label(&example::label()), 0),
        ("notice", notice(&example::change()), 0),
        (
            "strategy_comparison",
            strategy_comparison(&example::strategies()),
            1,
        ),
    ]
}

#[test]
fn every_page_keeps_the_rules() {
    for (name, html, figures) in pages() {
        assert_eq!(html_check::keeps_the_rules(&html), figures, "{name}");
        assert!(html.contains("Invented demo data"), "{name}");
        assert!(
            html.contains("@bottom-left{content:\"Invented demo data. "),
            "{name}"
        );
    }
}

#[test]
fn every_page_is_the_golden_one() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    for (name, html, _) in pages() {
        let golden = Data::read_from(&folder.join(format!("{name}.html")), None);
        assert_data_eq!(Data::text(html).raw(), golden.raw());
    }
}

#[test]
fn the_drawings_that_are_files_are_the_golden_ones() {
    let chart = control_chart_svg(&example::chart());
    assert_data_eq!(
        Data::text(chart).raw(),
        file!["golden/control_chart.svg": Text].raw()
    );
    let template = paper_template(&example::template());
    assert_data_eq!(
        Data::text(template).raw(),
        file!["golden/paper_template.svg": Text].raw()
    );
}

#[test]
fn the_chart_reads_line_by_line() {
    let text = control_chart_text(&example::chart());
    assert!(text.is_ascii(), "no box drawing, no colour codes");
    assert!(
        text.lines()
            .any(|line| { line.contains("Rf 0.360") && line.contains("beyond the action limit") })
    );
    assert!(text.contains("7 in a row below the centre"));
    assert_data_eq!(
        Data::text(text).raw(),
        file!["golden/control_chart.txt": Text].raw()
    );
}

#[test]
fn the_template_says_in_words_what_it_draws() {
    let text = paper_template_text(&example::template());
    for sentence in [
        "Cut the paper 160.0 mm wide and 130.0 mm high.",
        "Draw the start line in pencil, 16.0 mm above the lower edge.",
        "Stop when the front is 115.0 mm above the lower edge, 99.0 mm from the start line.",
        "Lane 6 stands 125.0 mm from the left edge: Blue 2.",
        "lies under the paper, not on it",
    ] {
        assert!(text.contains(sentence), "{sentence}");
    }
}

#[test]
fn a_slip_says_its_verdict_first() {
    for verdict in [
        SlipVerdict::Go,
        SlipVerdict::GoWithRestrictions,
        SlipVerdict::Stop,
    ] {
        let html = suitability_slip(&example::slip(verdict));
        assert!(html.contains(&format!("<h1>{}</h1>", verdict.words())));
    }
}

#[test]
fn a_notice_across_majors_says_that_old_values_are_not_wrong() {
    let mut change = example::change();
    assert!(notice(&change).contains("not comparable with the new ones, and they are not wrong"));
    change.comparable = true;
    let html = notice(&change);
    assert!(html.contains("can be compared") && !html.contains("not comparable"));
}

#[test]
fn documents_with_nothing_in_them_are_still_pages() {
    let mut chart = example::chart();
    chart.segments.clear();
    chart.findings.clear();
    html_check::keeps_the_rules(&control_chart(&chart));
    assert!(control_chart_text(&chart).contains("Nothing out of the ordinary"));
    let mut references = example::references();
    references.references[0].sessions.clear();
    references.references[0].excluded.clear();
    html_check::keeps_the_rules(&reference_sheet(&references));
    let mut strategies = example::strategies();
    strategies.versions[0].rates.clear();
    strategies.versions[0].differences.clear();
    strategies.versions[0].calibration.clear();
    let html = strategy_comparison(&strategies);
    html_check::keeps_the_rules(&html);
    assert!(html.contains("They agree on every spot"));
}

#[test]
fn three_solvents_have_three_axes_and_a_column_each() {
    let mut solvents = example::solvents();
    let mut third = solvents.methods[0].clone();
    third.method = "citrate-paper@1.0.0".into();
    solvents.methods.push(third);
    for dye in &mut solvents.dyes {
        dye.rf.push(dye.rf[0].map(|rf| rf / 2.0));
    }
    for pair in &mut solvents.pairs {
        pair.gaps.push(["0.03".into(), "11 %".into()]);
    }
    for measure in &mut solvents.measures {
        measure.values.push("0.80".into());
    }
    let html = solvent_comparison(&solvents);
    assert_eq!(html_check::keeps_the_rules(&html), 1);
    for column in ["Gap in C", "Risk in C", "Rf in C", "C minus A"] {
        assert!(html.contains(column), "{column}");
    }
    // An axis a version, and a dye measured in two neighbours has a line between them: six dyes
    // from A to B, six from B to C.
    assert_eq!(html.matches("<line class=\"tick\"").count(), 3);
    assert_eq!(html.matches("<line class=\"curve\"").count(), 12);
}

#[test]
fn two_method_versions_have_each_their_own_tables_and_plot() {
    let mut strategies = example::strategies();
    let mut other = strategies.versions[0].clone();
    other.method = "saline-paper@2.0.0".into();
    strategies.versions.push(other);
    let html = strategy_comparison(&strategies);
    assert_eq!(html_check::keeps_the_rules(&html), 2);
    for method in ["saline-paper@1.2.0", "saline-paper@2.0.0"] {
        assert!(html.contains(&format!("{method}: how often they err")));
        assert!(html.contains(&format!("{method}: where they differ")));
    }
}

#[test]
fn names_from_outside_never_become_markup() {
    let nasty = "</style><script>x</script>\"'&";
    let mut chart = example::chart();
    chart.dye = nasty.into();
    chart.segments[0].version = nasty.into();
    html_check::keeps_the_rules(&control_chart(&chart));
    assert!(!control_chart_svg(&chart).contains("<script"));
    let mut label = example::label();
    label.name = nasty.into();
    label.batch = nasty.into();
    html_check::keeps_the_rules(&bottle_label(&label));
    let mut template = example::template();
    template.lanes[0].label = nasty.into();
    assert!(!paper_template(&template).contains("<script"));
}
