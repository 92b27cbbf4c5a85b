//! Small data sheets for the tests of this crate. All values are invented.

use crate::context::{Context, KnownPaper};
use crate::entry_check::EntryCheck;
use crate::evaluate::evaluate;
use crate::evaluated_sheet::EvaluatedSheet;
use crate::run_checks::run_checks;
use crate::signatures::{Signature, find_signatures};
use dyebook_documents::{
    Check, DyeRegister, Lane, LengthUnit, Method, MethodState, Role, Row, Severity, Sheet, Units,
    WrittenDecimal,
};
use jiff::civil::{Date, date};

/// A sheet with all that a check looks at.
#[derive(Debug, Clone)]
pub(crate) struct Example {
    pub(crate) sheet: Sheet,
    pub(crate) method: Method,
    pub(crate) state: MethodState,
    pub(crate) known: Vec<KnownPaper>,
    pub(crate) group_sheets: Vec<EvaluatedSheet>,
    pub(crate) today: Date,
}

/// Standards on paper 1, samples with two bridging lanes on paper 2, everything as expected.
const CLEAN: &str = "
1|1||Blue 1|7.64|8.04|blue
1|2||Blue 2|1.22|8.01|blue
1|3||Red 3|0.79|8.05|pink
1|4||Red 40|3.24|7.98|red
1|5||Yellow 5|4.51|8.02|yellow
1|6||Yellow 6|4.03|7.96|orange
2|1||Red 3|0.78|7.91|pink
2|2|sample|Q1|4.46|7.94|yellow
2|3|sample|Q2|3.23|7.96|red
2|4||Yellow 5|4.47|7.93|yellow";

impl Example {
    /// A sheet on which nothing is wrong.
    pub(crate) fn clean() -> Self {
        Self::table(CLEAN)
    }

    /// A sheet in cm with one line a spot: paper|lane|role|label|distance|front|colour.
    pub(crate) fn table(lines: &str) -> Self {
        Self::in_unit(LengthUnit::Centimetre, lines)
    }

    pub(crate) fn in_unit(unit: LengthUnit, lines: &str) -> Self {
        let mut sheet = Sheet {
            section: Some("Tue".into()),
            group: "4".into(),
            date: Some(date(2026, 3, 10)),
            method: "saline-paper@1.0.0".into(),
            batch: Some("B7".into()),
            units: Units {
                distance: unit,
                front: unit,
                width: Some(unit),
            },
            lanes: vec![],
            remarks: vec![],
        };
        for line in lines.lines().map(str::trim).filter(|line| !line.is_empty()) {
            add_line(&mut sheet, line);
        }
        Self {
            sheet,
            method: method(),
            state: MethodState::Approved,
            known: vec![],
            group_sheets: vec![],
            today: date(2026, 3, 11),
        }
    }

    /// The same with something changed.
    pub(crate) fn with(mut self, change: impl FnOnce(&mut Self)) -> Self {
        change(&mut self);
        self
    }

    /// The same with one spot's row changed.
    pub(crate) fn row(self, paper: &str, lane: u32, change: impl FnOnce(&mut Row)) -> Self {
        self.with(|example| {
            let mut lanes = example.sheet.lanes.iter_mut();
            let lane = lanes.find(|l| l.paper == paper && l.lane == lane).unwrap();
            change(&mut lane.rows[0]);
        })
    }

    pub(crate) fn evaluated(&self) -> EvaluatedSheet {
        evaluate(&self.sheet, &self.method, &dyes())
    }

    pub(crate) fn in_context<T>(&self, look: impl FnOnce(&Context<'_>) -> T) -> T {
        let own = KnownPaper::of_sheet("own-sheet", &self.sheet);
        look(&Context {
            sheet: &self.sheet,
            evaluated: &self.evaluated(),
            method: &self.method,
            method_state: self.state,
            dyes: &dyes(),
            own_papers: &own.iter().collect::<Vec<_>>(),
            known_papers: &self.known.iter().collect::<Vec<_>>(),
            group_sheets: &self.group_sheets,
            today: self.today,
        })
    }

    /// What one check finds.
    pub(crate) fn check(&self, check: &EntryCheck) -> Vec<Check> {
        self.in_context(|context| check.run(context))
    }

    /// Mistakes that the standards are consistent with.
    pub(crate) fn signatures(&self) -> Vec<Signature> {
        self.in_context(find_signatures)
    }

    /// Names of those, with the papers they are seen on.
    pub(crate) fn signature_names(&self) -> Vec<(&'static str, Vec<String>)> {
        self.signatures()
            .into_iter()
            .map(|one| (one.model, one.papers))
            .collect()
    }

    /// The same with every distance and front of a paper changed, both in cm.
    pub(crate) fn measured(self, paper: &str, change: impl Fn(f64, f64) -> (f64, f64)) -> Self {
        self.with(|example| {
            let lanes = example
                .sheet
                .lanes
                .iter_mut()
                .filter(|lane| lane.paper == paper);
            for row in lanes.flat_map(|lane| &mut lane.rows) {
                let value = |written: &Option<WrittenDecimal>| written.as_ref().unwrap().value();
                let (distance, front) = change(value(&row.distance), value(&row.front));
                row.distance = Some(format!("{distance:.2}").parse().unwrap());
                row.front = Some(format!("{front:.2}").parse().unwrap());
            }
        })
    }

    /// What all checks find.
    pub(crate) fn all(&self) -> Vec<Check> {
        self.in_context(run_checks)
    }

    /// The one finding of a check, with its severity and place in words.
    pub(crate) fn only(&self, check: &EntryCheck) -> (Severity, String, Check) {
        let found = self.check(check);
        assert_eq!(found.len(), 1, "{found:#?}");
        let one = found.into_iter().next().unwrap();
        (one.severity, one.place.words(), one)
    }
}

fn add_line(sheet: &mut Sheet, line: &str) {
    let fields: Vec<&str> = line.split('|').map(str::trim).collect();
    let [paper, lane, role, label, distance, front, colour] = fields[..] else {
        panic!("seven fields: {line}")
    };
    let number = |text: &str| (!text.is_empty()).then(|| text.parse().unwrap());
    let row = Row {
        distance: number(distance),
        front: number(front),
        colour: (!colour.is_empty()).then(|| colour.into()),
        ..Row::default()
    };
    let lane: u32 = lane.parse().unwrap();
    match sheet.lanes.last_mut() {
        Some(last) if last.paper == paper && last.lane == lane && last.label == label => {
            last.rows.push(row);
        }
        _ => sheet.lanes.push(Lane {
            paper: paper.into(),
            lane,
            label: label.into(),
            role: match role {
                "standard" => Some(Role::Standard),
                "sample" => Some(Role::Sample),
                "bridging" => Some(Role::Bridging),
                _ => None,
            },
            rows: vec![row],
        }),
    }
}

/// The bundled dyes.
pub(crate) fn dyes() -> DyeRegister {
    let bundled = include_str!("../../../references/dyes.json");
    DyeRegister::new(serde_json::from_str::<Vec<dyebook_documents::Dye>>(bundled).unwrap())
}

/// An invented method with six dyes spread over the paper.
pub(crate) fn method() -> Method {
    let reference = |dye: &str, rf: f64| {
        serde_json::json!({
            "dye": dye, "assigned_rf": rf,
            "expected_rf": {"low": rf - 0.045, "high": rf + 0.045},
            "sd": {"within_paper": 0.010, "between_papers": 0.010, "between_sessions": 0.015},
            "count": {"sessions": 6, "papers": 12, "spots": 24}
        })
    };
    serde_json::from_value(serde_json::json!({
        "id": "saline-paper", "version": "1.0.0", "title": "Dilute salt water on paper (invented)",
        "stationary_phase": {"material": "cellulose paper"},
        "developer": {"components": [
            {"substance": "water", "make_up_to_volume": true},
            {"substance": "sodium chloride", "amount": 1.2, "basis": "% w/v"}]},
        "layout": {"baseline_cm": 1.5, "lane_pitch_cm": 1.8, "lanes": 8, "paper_height_cm": 13,
                   "paper_width_cm": 16, "front_margin_cm": 1.5},
        "measuring": {"convention": "centre", "distance_sd_cm": 0.05, "front_sd_cm": 0.05},
        "acceptance": {"front_tilt": 0.05, "front_min_cm": 5},
        "references": [
            reference("brilliant-blue-fcf", 0.95), reference("indigo-carmine", 0.15),
            reference("erythrosine", 0.10), reference("allura-red-ac", 0.405),
            reference("tartrazine", 0.56), reference("sunset-yellow-fcf", 0.505)]
    }))
    .unwrap()
}
