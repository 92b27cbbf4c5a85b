//! All checks over one sheet.

use crate::checks::{ENTRY_CHECKS, exchanged_lanes};
use crate::context::Context;
use crate::sheet_view::SheetView;
use crate::signatures::finding;
use dyebook_documents::Check;

/// What all checks find, worst first, then by place on the sheet.
pub fn run_checks(context: &Context<'_>) -> Vec<Check> {
    let sheet = SheetView::new(context);
    let entries = ENTRY_CHECKS.iter().flat_map(|check| check.run_on(&sheet));
    let mut found: Vec<Check> = entries.chain(of_signatures(&sheet)).collect();
    let papers = &context.evaluated.papers;
    // `None` sorts first: what concerns the whole sheet comes before its papers.
    let paper = |check: &Check| {
        let name = check.place.paper.as_ref()?;
        papers.iter().position(|paper| paper == name)
    };
    found.sort_by(|a, b| {
        (b.severity.cmp(&a.severity))
            .then_with(|| paper(a).cmp(&paper(b)))
            .then_with(|| a.place.cmp(&b.place))
            .then_with(|| a.check.cmp(&b.check))
    });
    found
}

/// The findings of signatures, without exchanged lanes that the order of the standards shows too.
fn of_signatures(sheet: &SheetView<'_>) -> Vec<Check> {
    if sheet.signatures.is_empty() {
        return vec![];
    }
    let told = exchanged_lanes(sheet);
    let news = sheet.signatures.iter().filter(|signature| {
        signature
            .exchanged_lanes()
            .is_none_or(|lanes| !told.contains(&lanes))
    });
    news.map(|signature| finding(sheet, signature).named(signature.model))
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_clean_sheet_says_nothing() {
        assert!(Example::clean().all().is_empty());
    }

    #[test]
    fn a_sheet_of_ten_thousand_lanes_and_the_largest_lane_number_are_checked() {
        // Not timed: it would take hours if any check compared all lanes with all others.
        let lane = |n: u32| format!("{}|{}||Red 40|3.2{}|8.0|red", n / 6, n % 6 + 1, n % 10);
        let lines: Vec<String> = (0..10_000).map(lane).collect();
        assert!(!Example::table(&lines.join("\n")).all().is_empty());
        let one_paper: Vec<String> = (1..2_000)
            .map(|n| format!("1|{n}||Red 40|3.2{}|8.0|red", n % 10))
            .collect();
        assert!(!Example::table(&one_paper.join("\n")).all().is_empty());
        let far = Example::table(
            "1|4294967295||Red 40|3.2|8|red\n1|4294967294||Blue 1|7.6|8|blue\n1|0||Red 3|0.8|8|\n1|1||Yellow 5|4.5|8|",
        );
        assert!(
            far.all()
                .iter()
                .any(|check| check.check == "impossible-lane")
        );
    }

    #[test]
    fn the_worst_comes_first_then_the_place_on_the_sheet() {
        let found = Example::clean()
            .row("2", 1, |row| row.front = None)
            .row("1", 6, |row| row.front = None)
            .row("2", 2, |row| row.distance = Some("9.93".parse().unwrap()))
            .all();
        let order: Vec<(Severity, String)> = found
            .iter()
            .map(|check| (check.severity, check.place.words()))
            .collect();
        assert_eq!(
            order,
            [
                (Severity::Stop, "paper 2, lane 2, spot 1".to_owned()),
                (Severity::Ask, "paper 1, lane 6".to_owned()),
                (Severity::Ask, "paper 2, lane 1".to_owned()),
            ]
        );
    }
}
