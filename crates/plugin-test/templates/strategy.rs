//! Strategy `@NAME@`: a dye is named when the spot's Rf lies in its expected range, widened by a
//! fixed amount, and its colour does not disagree. Make it yours.

use dyebook_plugin::Result;
use dyebook_plugin::strategy::{
    Answer, Candidate, ColourTable, ColourVerdict, Decision, Question, ReferenceSet, SpotAnswer,
    Strategy, reasons,
};
use serde::Deserialize;

#[derive(Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Config {
    widen: f64,
}

pub struct Mine {
    widen: f64,
    set: ReferenceSet,
    colours: ColourTable,
}

impl Strategy for Mine {
    type Config = Config;

    fn prepare(config: &Config, set: ReferenceSet) -> Result<Self> {
        let colours = ColourTable::new(&set.colour_words);
        Ok(Mine { widen: config.widen, set, colours })
    }

    fn match_lane(&self, question: &Question<'_>) -> Result<Answer> {
        Ok(reasons::judge_each(question.lane, &self.set, |spot, rf| {
            let near = |low: f64, high: f64| low - self.widen <= rf && rf <= high + self.widen;
            let mut fits: Vec<Candidate> = self.set.references.iter()
                .filter(|reference| near(reference.expected_rf.low, reference.expected_rf.high))
                .map(|reference| {
                    let colour = self.colours.judge(spot.colour.as_deref(), &reference.colours);
                    Candidate::new(reference, rf, colour)
                })
                .filter(|candidate| candidate.colour != ColourVerdict::Disagrees)
                .collect();
            fits.sort_by(|a, b| a.rf_difference.abs().total_cmp(&b.rf_difference.abs()));
            let decision = match fits.len() {
                0 => Decision::NotInReferenceSet,
                1 => Decision::Identified,
                _ => Decision::Indistinguishable,
            };
            let rf = reasons::rounded(rf, 2);
            let reason = format!("At Rf {rf} the number of dyes that fit is {}.", fits.len());
            SpotAnswer::new(spot, decision, fits, reason)
        }))
    }
}

dyebook_plugin::plugin! { id: "@ID@", components: { "@NAME@" => strategy Mine } }
dyebook_plugin::export_plugin!(PLUGIN);

#[cfg(test)]
mod tests {
    use super::*;
    use dyebook_plugin::Context;
    use dyebook_plugin::strategy::{Lane, Reference, Sheet, Spot};

    #[test]
    fn a_spot_in_one_range_is_identified() {
        let mut set = ReferenceSet::default();
        set.references = vec![Reference::new("dye-a", 0.3, 0.4), Reference::new("dye-b", 0.5, 0.6)];
        let strategy = Mine::prepare(&Config::default(), set).unwrap();
        let mut lane = Lane::default();
        lane.spots = vec![Spot::new(1, 0.35, 0.01)];
        let (sheet, context) = (Sheet::default(), Context::without_host());
        let answer = strategy.match_lane(&Question::new(&lane, &sheet, &context)).unwrap();
        assert_eq!(answer.dyes[0].dye, "dye-a");
    }
}
