//! A sheet from a day on which its method version was not in use.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{Severity, Where};

/// An old sheet with a new recipe, or the other way round, is the classic mistake of a change in
/// mid-term: Rf of one are held against references of the other.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "date-outside-method",
    why: "A sheet from outside the method's life was probably run by another version.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let context = sheet.context;
    let method = context.method;
    let limited = method.effective_from.is_some() || method.effective_to.is_some();
    let Some(date) = context.sheet.date else {
        if !limited {
            return vec![];
        }
        let message = format!(
            "the sheet has no date, so whether {} was in use can't be told",
            method.name()
        );
        return vec![Finding::new(Severity::Info, Where::sheet(), message)];
    };
    let stop = |message: String| {
        Finding::new(Severity::Stop, Where::sheet(), message)
            .or("the sheet names the wrong method version")
            .or("the date is wrong")
    };
    let mut found = vec![];
    if let Some(from) = method.effective_from.filter(|from| date < *from) {
        found.push(stop(format!(
            "the sheet is of {date}, {} is in use only from {from}",
            method.name()
        )));
    }
    if let Some(to) = method.effective_to.filter(|to| date > *to) {
        found.push(stop(format!(
            "the sheet is of {date}, {} was in use only until {to}",
            method.name()
        )));
    }
    if date > context.today {
        let message = format!(
            "the sheet is of {date}, which is after today ({})",
            context.today
        );
        let finding = Finding::new(Severity::Warn, Where::sheet(), message);
        found.push(finding.or("day and month exchanged, or the year wrong"));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;
    use jiff::civil::date;

    #[test]
    fn a_day_before_the_first_day_of_use_stops() {
        let example = Example::clean().with(|e| e.method.effective_from = Some(date(2026, 4, 1)));
        let (severity, place, check) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Stop, "the whole sheet")
        );
        assert!(check.message.contains("2026-04-01"), "{check:?}");
    }

    #[test]
    fn a_day_after_the_last_day_of_use_stops_and_a_future_day_warns() {
        let example = Example::clean().with(|e| e.method.effective_to = Some(date(2026, 1, 31)));
        assert_eq!(example.only(&CHECK).0, Severity::Stop);
        let example = Example::clean().with(|e| e.sheet.date = Some(date(2026, 10, 3)));
        assert_eq!(example.only(&CHECK).0, Severity::Warn);
    }

    #[test]
    fn the_first_and_last_day_of_use_are_in_use() {
        let day = Example::clean().sheet.date;
        let example = Example::clean().with(|e| {
            e.method.effective_from = day;
            e.method.effective_to = day;
        });
        assert!(example.check(&CHECK).is_empty());
    }
}
