//! Who changed the sheet, when and why.

use crate::page::Section;
use crate::sheet_report::{HistoryLine, SheetReport};
use askama::Template;

#[derive(Template)]
#[template(
    ext = "html",
    source = r#"{% if !lines.is_empty() %}<div class="wide">
<table>
<caption>Changes of this sheet, oldest first</caption>
<thead><tr><th scope="col">When</th><th scope="col">Who</th><th scope="col">What</th><th scope="col">Why</th></tr></thead>
<tbody>
{% for line in lines %}<tr><td>{{ line.when }}</td><td>{{ crate::svg::breakable(line.who)|safe }}</td><td>{{ crate::svg::breakable(line.what)|safe }}</td><td>{{ crate::svg::breakable(line.why)|safe }}</td></tr>
{% endfor %}</tbody>
</table>
</div>
{% endif %}{% if !remarks.is_empty() %}<h3>Remarks on the sheet</h3>
<ul>
{% for remark in remarks %}<li>{{ remark }}</li>
{% endfor %}</ul>
{% endif %}"#
)]
struct History<'a> {
    lines: &'a [HistoryLine],
    remarks: Vec<&'a str>,
}

pub(super) fn section(report: &SheetReport<'_>) -> Option<Section> {
    if report.history.is_empty() && report.sheet.remarks.is_empty() {
        return None;
    }
    let body = History {
        lines: &report.history,
        remarks: report
            .sheet
            .remarks
            .iter()
            .map(|r| r.text.as_str())
            .collect(),
    };
    Some(Section::new("history", "History", &body))
}
