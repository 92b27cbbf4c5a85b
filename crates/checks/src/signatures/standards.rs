//! The standards of one or several papers, with the spread that the method knows.

use super::structured_normal::{StructuredNormal, dot};
use crate::context::Context;
use crate::evaluated_sheet::{EvaluatedLane, EvaluatedSheet};
use crate::known_spots::{ExpectedDye, KnownSpot, known_spot};
use crate::sheet_view::PaperView;
use dyebook_documents::{ColourVerdict, ExpectedColours, Reference, SeenColour};

/// A range of expected values is read as covering 95 %.
const HALF_WIDTH_IN_SD: f64 = 1.96;
/// Degrees of freedom with which the method's spread is taken to be known. A spread from a few
/// sessions is known to a third or so; with a spread taken as exact, a somewhat noisier class would
/// be told of mistakes that nobody made.
const DEGREES_OF_FREEDOM: f64 = 8.0;
/// Papers stretch as well as shift: SD of a paper's slope over the whole scale, as a share of its shift.
const SLOPE_SHARE: f64 = 0.3;
/// How much less likely a colour word is in the lane of a dye that hasn't that colour: e^-2.5 = 8 %,
/// as people name the same spot differently.
const WRONG_COLOUR: f64 = -2.5;
/// Natural logarithm of the odds from which on a paper speaks against a habit of the others.
const AGAINST: f64 = 2.0;
/// A value of which nothing is known: anywhere on the paper.
const ANYWHERE: Expected = Expected {
    rf: 0.5,
    own: 0.09,
    paper: 0.0,
    session: 0.0,
};

/// What is expected of a lane: Rf, own variance, SD of its paper's and of its session's shift.
#[derive(Debug, Clone, Copy)]
struct Expected {
    rf: f64,
    own: f64,
    paper: f64,
    session: f64,
}

/// One standard.
#[derive(Debug, Clone)]
pub(crate) struct Standard<'a> {
    /// Which of the papers, and of the sessions, under test.
    paper: usize,
    session: usize,
    pub(crate) lane: &'a EvaluatedLane,
    pub(crate) spot: u32,
    pub(crate) rf: f64,
    pub(crate) front_cm: f64,
    /// Variance of `rf` from reading.
    reading: f64,
    expected: Expected,
    dye_colours: ExpectedColours,
    colour: SeenColour,
}

impl Standard<'_> {
    pub(crate) fn expected_rf(&self) -> f64 {
        self.expected.rf
    }
}

/// Standards whose mistakes are to be told together.
#[derive(Debug, Clone)]
pub(crate) struct Standards<'a> {
    pub(crate) all: Vec<Standard<'a>>,
    /// Highest lane number on the paper, samples included.
    pub(crate) highest_lane: u32,
    /// Lanes that the layout has.
    pub(crate) layout_lanes: Option<u32>,
    normal: StructuredNormal,
    /// If nothing is wrong: differences from what is expected times the inverse of their covariance,
    /// the same times the differences, and what the colours say.
    solved: Vec<f64>,
    chi_square: f64,
    colours: f64,
}

/// A size that was fitted, in cm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FittedSize {
    pub(crate) cm: f64,
    pub(crate) u_cm: f64,
}

impl<'a> Standards<'a> {
    /// The standards of one paper in the order of their lanes.
    pub(crate) fn of_paper<'k>(
        context: &Context<'a>,
        known: impl Iterator<Item = &'k KnownSpot<'a>>,
        highest_lane: u32,
    ) -> Self
    where
        'a: 'k,
    {
        let mut all: Vec<Standard<'a>> = known.filter_map(|known| standard(known, 0, 0)).collect();
        all.sort_unstable_by_key(|standard| standard.lane.lane);
        Self::new(context, all, highest_lane)
    }

    /// The standards of a sheet's papers and of all papers of other sheets, each sheet a session;
    /// `None` where fewer than two papers hold any.
    pub(crate) fn of_sheets(
        context: &Context<'a>,
        own: &[PaperView<'a>],
        others: &[&'a EvaluatedSheet],
    ) -> Option<Self> {
        let mut all = vec![];
        for (paper, view) in own.iter().enumerate() {
            all.extend(
                view.known
                    .iter()
                    .filter_map(|known| standard(known, paper, 0)),
            );
        }
        let mut papers = own.len();
        for (session, sheet) in (1..).zip(others) {
            for paper in &sheet.papers {
                let known = sheet.lanes_of(paper);
                let known =
                    known.filter_map(|lane| known_spot(lane, ExpectedDye::of(context, lane)));
                all.extend(known.filter_map(|known| standard(&known, papers, session)));
                papers += 1;
            }
        }
        let first = all.first()?.paper;
        let several = all.iter().any(|standard| standard.paper != first);
        several.then(|| Self::new(context, all, 0))
    }

    fn new(context: &Context<'_>, all: Vec<Standard<'a>>, highest_lane: u32) -> Self {
        let layout_lanes = context
            .method
            .layout
            .as_ref()
            .and_then(|layout| layout.lanes);
        let normal = normal(&all, |i| all[i].expected);
        let residuals: Vec<f64> = all
            .iter()
            .map(|standard| standard.rf - standard.expected.rf)
            .collect();
        let solved = normal.solve(&residuals);
        Self {
            highest_lane,
            layout_lanes,
            normal,
            chi_square: dot(&residuals, &solved),
            solved,
            colours: colours(&all, Some),
            all,
        }
    }

    pub(crate) fn len(&self) -> usize {
        self.all.len()
    }

    /// Distance from the lowest to the highest expected Rf.
    pub(crate) fn reach(&self) -> f64 {
        let expected = self.all.iter().map(Standard::expected_rf);
        let (low, high) = expected.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), rf| {
            (low.min(rf), high.max(rf))
        });
        high - low
    }

    /// Logarithm of how well "nothing wrong" explains the values, up to a constant that all models
    /// share.
    pub(crate) fn nothing_wrong(&self) -> f64 {
        self.evidence(&self.normal, self.chi_square) + self.colours
    }

    /// By how much the very best model could explain the values better than nothing wrong does. A
    /// model whose own cost leaves too little of it needn't be tried.
    pub(crate) fn room(&self) -> f64 {
        // Another order pairs other readings with other spreads, which moves the determinant a little.
        let slack = 0.5;
        self.evidence(&self.normal, 0.0) - self.nothing_wrong() + slack
    }

    /// The same for values that are off by `size` cm times an effect known for each standard.
    ///
    /// # Formula
    /// ```text
    /// y = Rf - expected,   size = aᵀΣ⁻¹y / aᵀΣ⁻¹a,   χ² = yᵀΣ⁻¹y - size² aᵀΣ⁻¹a
    /// evidence(χ²) - ½ ln(1 + τ² aᵀΣ⁻¹a)         τ: the sizes that occur, cm
    /// ```
    ///
    /// # Source
    /// Generalised least squares; the last term is the cost of a free size with a normal prior of
    /// SD τ, as in Laplace's approximation (from memory)
    pub(crate) fn shifted(
        &self,
        effect: impl Fn(&Standard<'a>) -> f64,
        usual_cm: f64,
    ) -> Option<(f64, FittedSize)> {
        let a: Vec<f64> = self.all.iter().map(effect).collect();
        let information = self.normal.product(&a, &a);
        if information <= 0.0 || !information.is_finite() {
            return None;
        }
        let cm = dot(&a, &self.solved) / information;
        let chi_square = (self.chi_square - cm * cm * information).max(0.0);
        let cost = (usual_cm * usual_cm * information).ln_1p() / 2.0;
        let evidence = self.evidence(&self.normal, chi_square) - cost + self.colours;
        let scale = (DEGREES_OF_FREEDOM + chi_square) / (DEGREES_OF_FREEDOM + self.count());
        Some((
            evidence,
            FittedSize {
                cm,
                u_cm: (scale / information).sqrt(),
            },
        ))
    }

    /// The same when each value belongs to the lane that `of` names, or to no lane that is known.
    pub(crate) fn reordered(&self, of: impl Fn(usize) -> Option<usize>) -> f64 {
        let expected = |i: usize| of(i).map_or(ANYWHERE, |from| self.all[from].expected);
        let normal = normal(&self.all, expected);
        let values = self.all.iter().enumerate();
        let y: Vec<f64> = values
            .map(|(i, standard)| standard.rf - expected(i).rf)
            .collect();
        self.evidence(&normal, normal.product(&y, &y)) + colours(&self.all, of)
    }

    /// The same when the values are others; `log_slope` is the sum of ln |d other / d value|.
    pub(crate) fn transformed(&self, values: impl Iterator<Item = f64>, log_slope: f64) -> f64 {
        let expected = self.all.iter().map(Standard::expected_rf);
        let y: Vec<f64> = values.zip(expected).map(|(value, rf)| value - rf).collect();
        self.evidence(&self.normal, self.normal.product(&y, &y)) + log_slope + self.colours
    }

    pub(crate) fn values(&self) -> impl Iterator<Item = f64> {
        self.all.iter().map(|standard| standard.rf)
    }

    /// Multivariate t with the spread known to so many degrees of freedom, up to its constant.
    fn evidence(&self, normal: &StructuredNormal, chi_square: f64) -> f64 {
        let power = f64::midpoint(DEGREES_OF_FREEDOM, self.count());
        -power * (chi_square / DEGREES_OF_FREEDOM).ln_1p() - normal.log_determinant() / 2.0
    }

    #[expect(clippy::cast_precision_loss, reason = "a group has few lanes")]
    fn count(&self) -> f64 {
        self.len() as f64
    }
}

/// What the colours say when each value belongs to the lane that `of` names.
fn colours(standards: &[Standard<'_>], of: impl Fn(usize) -> Option<usize>) -> f64 {
    let wrong = |i: usize| {
        of(i).is_some_and(|from| {
            let verdict = standards[from].dye_colours.judge_seen(standards[i].colour);
            verdict == ColourVerdict::Disagrees
        })
    };
    (0..standards.len())
        .filter(|i| wrong(*i))
        .map(|_| WRONG_COLOUR)
        .sum()
}

fn standard<'a>(known: &KnownSpot<'a>, paper: usize, session: usize) -> Option<Standard<'a>> {
    let front_cm = known.spot.front_cm.filter(|front| *front > 0.0)?;
    let u = known.spot.u.unwrap_or(0.0);
    Some(Standard {
        paper,
        session,
        lane: known.lane,
        spot: known.spot.spot,
        rf: known.rf,
        front_cm,
        reading: u * u,
        expected: expected(known.reference),
        dye_colours: known.colours,
        colour: SeenColour::new(known.spot.colour.as_deref()),
    })
}

/// The components of the spread; what the reference doesn't say is shared out from its range.
fn expected(reference: &Reference) -> Expected {
    let of_range = reference.expected_rf.width() / 2.0 / HALF_WIDTH_IN_SD;
    let third = of_range / 3.0_f64.sqrt();
    let sd = reference.sd;
    let within = sd.and_then(|sd| sd.within_paper).unwrap_or(third);
    Expected {
        rf: reference.centre(),
        // Below a twentieth of a millimetre on ten centimetres nothing is known so well.
        own: within.max(0.0005).powi(2),
        paper: sd.and_then(|sd| sd.between_papers).unwrap_or(third),
        session: sd.and_then(|sd| sd.between_sessions).unwrap_or(third),
    }
}

/// Own variances, one shift and one slope a paper, one a session, where each value has the
/// expectation that `expected` names.
fn normal(standards: &[Standard<'_>], expected: impl Fn(usize) -> Expected) -> StructuredNormal {
    let all = || standards.iter().enumerate();
    let variances = all().map(|(i, standard)| standard.reading + expected(i).own);
    let (papers, sessions) = (
        groups(standards, |s| s.paper),
        groups(standards, |s| s.session),
    );
    let mut normal = StructuredNormal::new(variances, 2 * (papers.count() + sessions.count()));
    let mut effect: Vec<f64> = standards.iter().map(|_| 0.0).collect();
    let mut add = |is_in: &dyn Fn(&Standard<'_>) -> bool, size: &dyn Fn(&Expected) -> f64| {
        for (entry, (i, standard)) in effect.iter_mut().zip(all()) {
            *entry = if is_in(standard) {
                size(&expected(i))
            } else {
                0.0
            };
        }
        normal.add(&effect);
    };
    let tilt = |expected: &Expected| SLOPE_SHARE * (2.0 * expected.rf - 1.0);
    for paper in groups(standards, |s| s.paper) {
        add(&|s| s.paper == paper, &|e| e.paper);
        add(&|s| s.paper == paper, &|e| e.paper * tilt(e));
    }
    for session in groups(standards, |s| s.session) {
        add(&|s| s.session == session, &|e| e.session);
        add(&|s| s.session == session, &|e| e.session * tilt(e));
    }
    normal
}

/// The distinct numbers of papers or sessions, by which the standards stand in order.
fn groups<'s>(
    standards: &'s [Standard<'_>],
    of: impl Fn(&Standard<'_>) -> usize + 's,
) -> impl Iterator<Item = usize> + 's {
    let mut last = None;
    let numbers = standards.iter().map(of);
    numbers.filter(move |number| last.replace(*number) != Some(*number))
}

impl Standards<'_> {
    /// Whether no paper by itself speaks clearly against it: a habit shows everywhere.
    pub(crate) fn each_paper_agrees(&self, remedy: &super::model::Remedy) -> bool {
        groups(&self.all, |standard| standard.paper).all(|paper| {
            let of_paper: Vec<Standard<'_>> = self
                .all
                .iter()
                .filter(|standard| standard.paper == paper)
                .cloned()
                .collect();
            let normal = normal(&of_paper, |i| of_paper[i].expected);
            let chi_square = |rf: &dyn Fn(&Standard<'_>) -> f64| {
                let y: Vec<f64> = of_paper.iter().map(|s| rf(s) - s.expected.rf).collect();
                normal.product(&y, &y)
            };
            let if_so = |s: &Standard<'_>| {
                let distance = s.rf * s.front_cm;
                remedy
                    .rf(s.lane.lane, s.spot, distance, s.front_cm)
                    .unwrap_or(s.rf)
            };
            // Twice the logarithm of the likelihoods' ratio.
            chi_square(&if_so) - chi_square(&|s| s.rf) <= 2.0 * AGAINST
        })
    }
}
