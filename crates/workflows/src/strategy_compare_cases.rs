//! Sample lanes as strategies are asked about them, with what they are known to hold.

use crate::claims::recorded;
use crate::failure::Failure;
use crate::invented::is_invented;
use crate::match_request::{known_sheet, lane as question, reference_set};
use crate::resolve_method::resolve_method;
use compact_str::ToCompactString;
use dyebook_checks::{EvaluatedLane, EvaluatedSheet, evaluate};
use dyebook_documents::{DyeRegister, Method, MethodState, Role};
use dyebook_library::{KeptMethod, KeptSheet, Library};
use dyebook_plugin::strategy as message;
use std::collections::btree_map::{BTreeMap, Entry};

/// Lanes that are asked of one reference set.
#[derive(Debug, Default)]
pub(crate) struct Cases {
    /// `id@version` of the set.
    pub(crate) method: String,
    pub(crate) set: message::ReferenceSet,
    pub(crate) request: message::MatchRequest,
    /// Whether the method is invented for the demo.
    pub(crate) demo: bool,
    /// One for each lane of the request, in the same order.
    pub(crate) lanes: Vec<AskedLane>,
}

/// A lane that is asked.
#[derive(Debug, Clone)]
pub(crate) struct AskedLane {
    pub(crate) sheet: String,
    pub(crate) lane: EvaluatedLane,
    /// What is known of its spots, one for each.
    pub(crate) truths: Vec<Option<SpotTruth>>,
    /// The dyes it holds, where that is known.
    pub(crate) holds: Option<Vec<String>>,
}

/// What may rightly be said of a spot.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct SpotTruth {
    /// Dyes that may be named.
    pub(crate) dyes: Vec<String>,
    /// Whether "not in the reference set" is right.
    pub(crate) outside: bool,
}

impl Cases {
    pub(crate) fn new(
        kept: &KeptMethod,
        method: &Method,
        dyes: &DyeRegister,
        usable: bool,
    ) -> Self {
        Self {
            method: kept.name(),
            demo: is_invented(method),
            set: reference_set(kept, method, dyes, usable),
            ..Self::default()
        }
    }

    /// Asks about the sample lanes of a sheet. `truth` says what is known of a spot, by the position
    /// of its lane in the sheet and its own position in the lane.
    pub(crate) fn ask(
        &mut self,
        id: &str,
        session: &str,
        evaluated: &EvaluatedSheet,
        holds: &dyn Fn(usize) -> Option<Vec<String>>,
        truth: &dyn Fn(usize, usize) -> Option<SpotTruth>,
    ) {
        self.request
            .sheets
            .push(known_sheet(id, session, evaluated));
        for (position, lane) in evaluated.lanes.iter().enumerate() {
            if lane.role != Role::Sample {
                continue;
            }
            let name = self.lanes.len().to_compact_string();
            self.request.lanes.push(question(name, id, session, lane));
            self.lanes.push(AskedLane {
                sheet: id.to_owned(),
                lane: lane.clone(),
                truths: (0..lane.spots.len())
                    .map(|at| truth(position, at))
                    .collect(),
                holds: holds(position),
            });
        }
    }
}

/// The sample lanes of kept sheets, each by the version that its sheet is bound to; versions in order.
pub(crate) fn kept_cases(
    library: &Library,
    dyes: &DyeRegister,
    sheets: &[KeptSheet],
) -> Result<Vec<Cases>, Failure> {
    let mut all: BTreeMap<_, (Method, Cases)> = BTreeMap::new();
    for sheet in sheets {
        let usable = sheet.state_when_bound != MethodState::Withdrawn;
        let key = (&sheet.method_id, &sheet.method_version, usable);
        let (method, cases) = match all.entry(key) {
            Entry::Occupied(there) => there.into_mut(),
            Entry::Vacant(free) => {
                let bound = format!("{}@{}", sheet.method_id, sheet.method_version);
                let kept = resolve_method(library, &bound)?;
                let method = kept.method()?;
                let cases = Cases::new(&kept, &method, dyes, usable);
                free.insert((method, cases))
            }
        };
        let evaluated = evaluate(&sheet.sheet, method, dyes);
        let record = recorded(library, &sheet.id)?;
        let holds = |position: usize| {
            let lane = evaluated.lanes.get(position)?;
            let mut known = record.iter();
            let found = known.find(|one| one.paper == lane.paper && one.lane == lane.lane)?;
            Some(found.dyes.clone())
        };
        let in_set = |dye: &String| method.references.iter().any(|one| one.dye == *dye);
        // Which spot is which dye isn't recorded: any dye of the lane may rightly be named.
        let truth = |position: usize, _: usize| {
            let dyes = holds(position)?;
            let outside = dyes.is_empty() || !dyes.iter().all(in_set);
            Some(SpotTruth { dyes, outside })
        };
        cases.ask(
            &sheet.id,
            &sheet.sheet.session(),
            &evaluated,
            &holds,
            &truth,
        );
    }
    Ok(all.into_values().map(|(_, cases)| cases).collect())
}
