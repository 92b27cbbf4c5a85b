//! The report of one data sheet, as a whole.

mod example;
mod html_check;

use dyebook_documents::{MethodState, Severity, WrittenDecimal};
use dyebook_report::{ReportSpot, sheet_report};
use example::Example;
use snapbox::{Data, assert_data_eq, file};
use std::sync::Arc;

#[test]
fn the_page_is_the_golden_one() {
    let html = sheet_report(&Example::new().report());
    assert_data_eq!(
        Data::text(html).raw(),
        file!["golden/sheet_report.html": Text].raw()
    );
}

#[test]
fn the_page_keeps_the_rules() {
    let html = sheet_report(&Example::new().report());
    assert_eq!(html_check::keeps_the_rules(&html), 2);
}

#[test]
fn nothing_written_on_a_sheet_becomes_markup() {
    let html = sheet_report(&Example::new().report());
    assert!(!html.contains("<script") && !html.contains("<b>edge"));
    assert!(
        html.contains("&lt;script&gt;alert(&quot;U14&quot;)") && html.contains("smeared &lt;b")
    );

    let mut example = Example::new();
    let nasty = "</style><script>x</script>\"'&{}\\";
    example.sheet.group = nasty.into();
    example.sheet.lanes[0].label = nasty.into();
    example.sheet.lanes[0].rows[0].colour = Some(nasty.into());
    Arc::make_mut(&mut example.identification.strategy).id = nasty.into();
    let report = dyebook_report::SheetReport {
        sheet_id: nasty.into(),
        ..example.report()
    };
    html_check::keeps_the_rules(&sheet_report(&report));
}

/// A number as somebody wrote it.
#[expect(clippy::unwrap_used, reason = "the tests write decimals only")]
fn written(text: &str) -> WrittenDecimal {
    text.parse().unwrap()
}

#[test]
fn millimetres_written_as_centimetres_are_drawn_and_said() {
    let mut example = Example::new();
    for lane in example
        .sheet
        .lanes
        .iter_mut()
        .filter(|lane| lane.paper == "P2")
    {
        for row in &mut lane.rows {
            row.front = Some(written("81"));
            if let Some(distance) = &row.distance {
                row.distance = Some(written(&format!("{:.1}", distance.value() * 10.0)));
            }
        }
    }
    let html = sheet_report(&example.report());
    html_check::keeps_the_rules(&html);
    assert!(html.contains("Paper P2, heights not to scale"));
    assert!(html.contains("Paper S1 drawn to scale"));
}

#[test]
fn slips_in_a_sheet_still_make_a_page() {
    let mut example = Example::new();
    example.method.layout = None;
    example.method.references.clear();
    let lanes = &mut example.sheet.lanes;
    lanes[1].lane = 1;
    lanes[5].lane = 4_000_000_000;
    lanes[2].rows[0].distance = Some(written("-3.4"));
    lanes[3].rows[0].front = None;
    lanes[4].rows[0].front = Some(written("0"));
    let html = sheet_report(&example.report());
    html_check::keeps_the_rules(&html);
    assert!(html.contains("Lanes stand in the order of the sheet"));
    assert!(!html.contains("NaN") && !html.contains("inf\""));

    example.sheet.lanes.clear();
    html_check::keeps_the_rules(&sheet_report(&example.report()));
}

#[test]
fn a_word_longer_than_a_column_may_break() {
    let mut example = Example::new();
    let word = "x".repeat(200);
    example.sheet.lanes[0].label = word.as_str().into();
    example.sheet.lanes[0].rows[0].remark = Some(word.as_str().into());
    let html = sheet_report(&example.report());
    html_check::keeps_the_rules(&html);
    let tables: String = html.split("<table").skip(1).collect();
    let unbroken = |part: &str| part.split_whitespace().any(|w| w.contains(&word));
    assert!(
        !tables
            .split("</table>")
            .any(|part| part.contains("<tr") && unbroken(part))
    );
}

#[test]
fn each_printed_page_repeats_version_and_digest() {
    let html = sheet_report(&Example::new().report());
    let (_, foot) = html.split_once("@bottom-left{content:\"").unwrap();
    let (foot, _) = foot.split_once('"').unwrap();
    assert!(
        foot.contains("saline-paper@1.2.0 (approved) digest a3f1a3f1a3f1"),
        "{foot}"
    );
    let title = html
        .split_once("<title>")
        .unwrap()
        .1
        .split_once("</title>")
        .unwrap()
        .0;
    assert!(
        title.contains("saline-paper@1.2.0 (approved) digest a3f1a3f1a3f1"),
        "{title}"
    );
}

#[test]
fn checks_come_worst_first() {
    let html = sheet_report(&Example::new().report());
    let at = |severity: Severity| {
        html.find(&format!("class=\"finding {}\"", severity.word()))
            .unwrap()
    };
    assert!(at(Severity::Stop) < at(Severity::Warn));
    assert!(at(Severity::Warn) < at(Severity::Ask));
    assert!(at(Severity::Ask) < at(Severity::Info));
    assert!(html.contains("the two distances were exchanged"));
}

#[test]
fn everything_that_pins_the_answer_is_on_the_page() {
    let example = Example::new();
    let html = sheet_report(&example.report());
    for text in [
        "posterior 1.1.0",
        &"b7".repeat(32),
        "prior_outside = 0.05",
        &"c9".repeat(32),
        "Plug-in: sandbox, landlock",
        example.digest.as_str(),
        "Amended",
        "Invented demo data",
        "rounded half to even at two decimals",
        "Local rules decide",
        "International Chemical Safety Card 0363",
    ] {
        assert!(html.contains(text), "{text}");
    }
}

#[test]
fn a_bundled_plug_in_takes_one_line() {
    let mut example = Example::new();
    let provenance = &mut Arc::make_mut(&mut example.identification.strategy).provenance;
    provenance.clear();
    for (key, value) in [
        ("plugin", "dyebook.strategy-range"),
        ("sandbox", "in process"),
    ] {
        provenance.insert(key.into(), value.into());
    }
    provenance.insert("bundled".into(), true.into());
    let html = sheet_report(&example.report());
    assert!(html.contains("dyebook.strategy-range, bundled with the program, in process"));
    assert!(!html.contains("Plug-in: "));
}

#[test]
fn a_sheet_that_is_not_identified_shows_the_rf_it_is_given() {
    let example = Example::new();
    let mut report = example.report();
    report.identification = None;
    report.demo = false;
    report.method_state = MethodState::Withdrawn;
    report.spots = vec![ReportSpot {
        paper: "P2".into(),
        lane: 3,
        spot: 1,
        rf: Some(0.4375),
        u: Some(0.0068),
    }];
    let html = sheet_report(&report);
    html_check::keeps_the_rules(&html);
    assert!(html.contains("0.44 ± 0.007") && html.contains("not judged yet"));
    assert!(html.contains("has not been identified yet"));
    assert!(html.contains("Method version is withdrawn"));
    assert!(!html.contains("Invented demo data"));
}

#[test]
fn an_outdated_identification_is_said() {
    let example = Example::new();
    let report = dyebook_report::SheetReport {
        sheet_revision: 3,
        ..example.report()
    };
    assert!(
        sheet_report(&report)
            .contains("rest on revision 2 of the sheet, which now stands at revision 3")
    );
}
