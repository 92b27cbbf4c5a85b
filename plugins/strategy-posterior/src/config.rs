//! Parameters, with why each default is what it is.

use serde::Deserialize;

/// Parameters of the strategy.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq)]
#[serde(default, deny_unknown_fields)]
pub struct Config {
    /// Probability, before looking, that a spot is of no dye in the reference set.
    ///
    /// 0.05: unknowns are made up from the dyes of the set, but colourings are reformulated and
    /// toothpicks mixed up. Lower, a stranger is named more often; higher, more spots stay undecided.
    /// Chosen with the two below on training terms, see the crate's docs.
    pub unknown_prior: f64,
    /// Share of readers who write one of the dye's own colour words.
    ///
    /// 0.92: a little below the 0.95 that the simulated readers do, since further words of a table
    /// are neighbours, too. The words are those that readers of the references wrote, and who can't
    /// tell hues writes none, which is not judged.
    pub colour_own: f64,
    /// Share of readers who write a neighbour of the dye's usual colour.
    ///
    /// 0.06; what is left, 0.02, goes to all other words, so a wrong colour counts against a dye but
    /// never excludes it.
    pub colour_neighbour: f64,
    /// Share of the spread between sessions, and between papers, that is a dye's own.
    ///
    /// 0.15: paper and solvent mostly move all dyes together, which is what bridging lanes correct.
    /// 0 would trust a correction by one dye for every other.
    pub own_share: f64,
    /// Share of the common spread that turns the scale (slow and fast dyes move apart) instead of
    /// shifting it.
    ///
    /// 0.15: a front read late stretches all Rf by one factor, a change of temperature mostly shifts.
    pub slope_share: f64,
    /// Degrees of freedom of the reference set's spread where it states no counts.
    ///
    /// 10: what six sessions of two papers come to.
    pub degrees_of_freedom: f64,
    /// Probability that an expected minor spot of a dye in the lane is seen and written down.
    ///
    /// 0.3: minor spots are pale and often passed over.
    pub minor_visible: f64,
    /// Distance in Rf below which two spots on a paper look like one.
    ///
    /// 0.03: spots look like one up to a resolution of 0.5 (common practice, no source), so up to
    /// half of their width; 5 mm on a run of 8 cm is 0.06. How often two dyes lie so near follows
    /// from how far apart they are expected and how both scatter.
    pub merge_distance: f64,
    /// Factor on the spread on the paper for a spot with a tail: its centre is a matter of opinion.
    pub tail_widening: f64,
    /// Factor on the spread on the paper for a faint spot.
    pub faint_widening: f64,
    /// Factor on the spread on the paper below Rf 0.05 and above 0.95, where spots pile up.
    pub edge_widening: f64,
    /// Probability at which a dye is named.
    ///
    /// 0.95: of a hundred spots named just there five would be wrong; most are named far above it.
    pub identify_at: f64,
    /// How many times more probable than the next candidate a dye must be to be named.
    ///
    /// 20: so that two candidates of near-equal standing never come down to a nuance.
    pub gap: f64,
    /// Probability at which a spot is said to be of no dye in the reference set.
    ///
    /// 0.8: lower than for a name, because it names nobody and asks for another look.
    pub not_in_set_at: f64,
}

impl Default for Config {
    fn default() -> Self {
        Self {
            unknown_prior: 0.05,
            colour_own: 0.92,
            colour_neighbour: 0.06,
            own_share: 0.15,
            slope_share: 0.15,
            degrees_of_freedom: 10.0,
            minor_visible: 0.3,
            merge_distance: 0.03,
            tail_widening: 2.0,
            faint_widening: 1.5,
            edge_widening: 1.5,
            identify_at: 0.95,
            gap: 20.0,
            not_in_set_at: 0.8,
        }
    }
}

impl Config {
    /// What can't be used, in words.
    pub(crate) fn check(&self) -> Result<(), String> {
        let shares = [
            ("unknown_prior", self.unknown_prior, 0.001, 0.999),
            ("colour_own", self.colour_own, 0.01, 0.999),
            ("colour_neighbour", self.colour_neighbour, 0.0, 0.98),
            ("own_share", self.own_share, 0.0, 1.0),
            ("slope_share", self.slope_share, 0.0, 1.0),
            ("degrees_of_freedom", self.degrees_of_freedom, 1.0, 1e6),
            ("minor_visible", self.minor_visible, 0.001, 0.999),
            ("merge_distance", self.merge_distance, 0.0, 0.5),
            ("tail_widening", self.tail_widening, 1.0, 10.0),
            ("faint_widening", self.faint_widening, 1.0, 10.0),
            ("edge_widening", self.edge_widening, 1.0, 10.0),
            ("identify_at", self.identify_at, 0.5, 0.9999),
            ("gap", self.gap, 1.0, 1e6),
            ("not_in_set_at", self.not_in_set_at, 0.5, 0.9999),
        ];
        for (name, value, low, high) in shares {
            if !(low..=high).contains(&value) {
                return Err(format!(
                    "`{name}` is {value}, must lie between {low} and {high}"
                ));
            }
        }
        let colours = self.colour_own + self.colour_neighbour;
        if colours >= 1.0 {
            return Err(format!(
                "`colour_own` and `colour_neighbour` add up to {colours}, must stay below 1"
            ));
        }
        Ok(())
    }
}
