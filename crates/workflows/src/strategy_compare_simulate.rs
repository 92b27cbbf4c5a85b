//! Simulated groups of a method: what their samples hold is known exactly. The generator knows the
//! method's components and nothing of how any strategy reasons.

use crate::strategy_compare_cases::Cases;
use crate::strategy_compare_term::{
    BRIDGING, MINOR_SEEN, MOST_DYES, ONE_SPOT, SAMPLES, SHARED, STRANGERS, Term, USUAL_WORD,
    WORD_BESIDE,
};
use dyebook_checks::evaluate;
use dyebook_documents::{DyeRegister, Method};

/// A term to simulate.
#[derive(Debug, Clone, Copy)]
pub struct Simulation {
    /// Groups.
    pub groups: usize,
    /// The same seed gives the same groups.
    pub seed: u64,
}

/// Groups that work side by side, with one batch and one temperature.
const GROUPS_IN_A_SESSION: usize = 8;
/// The assumptions, for whoever reads the figures.
pub(crate) fn assumptions(simulation: Simulation) -> Vec<String> {
    vec![
        format!(
            "{} simulated groups (seed {}), {GROUPS_IN_A_SESSION} a session: standards of all dyes \
             on papers of their own, and a samples paper with {BRIDGING} bridging lanes and \
             {SAMPLES} samples of one to {MOST_DYES} dyes",
            simulation.groups, simulation.seed
        ),
        format!(
            "the method's assigned Rf and spreads are taken as true; {:.0} % of the variance of \
             sessions and papers moves all dyes alike",
            100.0 * SHARED
        ),
        format!(
            "{:.0} % of the dyes in samples stand in no reference set; spots within {ONE_SPOT} in \
             Rf are seen as one; a minor spot is written down with a probability of {MINOR_SEEN}",
            100.0 * STRANGERS
        ),
        format!(
            "{:.0} % of the colour words are the dye's usual one, {:.0} % one beside it",
            100.0 * USUAL_WORD,
            100.0 * WORD_BESIDE
        ),
        "a real class also mislabels, mismeasures and smears, which is not simulated".to_owned(),
    ]
}

/// Simulated groups as cases of a method version.
pub(crate) fn simulated_cases(
    mut cases: Cases,
    method: &Method,
    dyes: &DyeRegister,
    simulation: Simulation,
) -> Cases {
    let mut term = Term::new(method, dyes, simulation.seed);
    let mut session = term.drift(|sd| sd.sessions);
    for group in 0..simulation.groups {
        let number = group / GROUPS_IN_A_SESSION + 1;
        if group % GROUPS_IN_A_SESSION == 0 {
            session = term.drift(|sd| sd.sessions);
        }
        let made = term.group(&session, &format!("{}", group + 1));
        let evaluated = evaluate(&made.sheet, method, dyes);
        let truth = |lane: usize, spot: usize| made.truths.get(lane)?.get(spot).cloned();
        let holds = |lane: usize| {
            let spots = made.truths.get(lane)?.iter();
            let mut held: Vec<String> = spots.flat_map(|spot| spot.dyes.iter().cloned()).collect();
            held.sort_unstable();
            held.dedup();
            Some(held)
        };
        let id = format!("group {}", group + 1);
        cases.ask(
            &id,
            &format!("session {number}"),
            &evaluated,
            &holds,
            &truth,
        );
    }
    cases
}

#[cfg(test)]
mod tests {
    use super::{Simulation, simulated_cases};
    use crate::bundled_documents::{DYES, METHODS};
    use crate::strategy_compare_cases::Cases;
    use dyebook_documents::{Dye, DyeRegister, Method};

    fn method() -> Method {
        serde_json::from_str(METHODS[0]).unwrap()
    }

    fn dyes() -> DyeRegister {
        DyeRegister::new(serde_json::from_str::<Vec<Dye>>(DYES).unwrap())
    }

    fn cases(groups: usize, seed: u64) -> Cases {
        let simulation = Simulation { groups, seed };
        simulated_cases(Cases::default(), &method(), &dyes(), simulation)
    }

    #[test]
    fn the_same_seed_gives_the_same_groups_and_another_seed_others() {
        assert_eq!(cases(3, 7).request, cases(3, 7).request);
        assert_ne!(cases(3, 7).request, cases(3, 8).request);
    }

    #[test]
    fn every_spot_has_its_truth_and_every_group_its_standards() {
        let cases = cases(20, 1);
        assert_eq!(cases.lanes.len(), 80);
        for lane in &cases.lanes {
            assert_eq!(lane.truths.len(), lane.lane.spots.len());
            assert!(lane.truths.iter().all(Option::is_some));
        }
        // Nine dyes on papers of standards, two bridging lanes.
        assert!(
            cases
                .request
                .sheets
                .iter()
                .all(|sheet| sheet.known.len() == 11)
        );
    }

    #[test]
    fn spots_scatter_by_the_components_of_the_method() {
        // Main spots of Tartrazine on the standards papers of 800 groups: 100 sessions. Its
        // components are 0.010, 0.010 and 0.015, together 0.0206; the last digit written and the
        // reading are in the first of them.
        let (mut sum, mut squares, mut number) = (0.0, 0.0, 0.0);
        for sheet in cases(800, 3).request.sheets {
            let mut lanes = sheet.known.iter();
            let lane = lanes.find(|lane| lane.dyes == ["tartrazine"] && lane.paper != "samples");
            let rf = lane.unwrap().spots.last().unwrap().rf.unwrap();
            sum += rf;
            squares += rf * rf;
            number += 1.0;
        }
        let mean: f64 = sum / number;
        let sd = (squares / number - mean * mean).sqrt();
        assert!((mean - 0.6).abs() < 0.006, "{mean}");
        assert!((sd - 0.0206).abs() < 0.003, "{sd}");
    }
}
