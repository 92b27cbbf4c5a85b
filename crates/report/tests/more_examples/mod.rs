//! Invented examples of the documents beside the sheet report.

use dyebook_documents::{Caution, Check, Range, Severity, Where};
use dyebook_report::*;

pub(crate) const PROGRAM: &str = "dyebook 0.1.0";

fn text(items: &[&str]) -> Vec<String> {
    items.iter().map(|item| (*item).to_owned()).collect()
}

fn range(low: f64, high: f64) -> Range {
    Range { low, high }
}

pub(crate) fn digest(letter: &str) -> String {
    letter.repeat(64)
}

pub(crate) fn cautions() -> Vec<Caution> {
    vec![Caution {
        text: "Concentrated acetic acid burns skin and eyes; only staff pour it.".into(),
        source: "International Chemical Safety Card 0363".into(),
        jurisdiction: Some("international".into()),
        date: None,
    }]
}

pub(crate) fn chart() -> ControlChart {
    let point = |(n, value): (u32, f64)| ChartPoint {
        date: format!("2026-{:02}-{:02}", 9 + n / 4, 1 + 7 * (n % 4)),
        session: if n % 2 == 0 { "Tue-A" } else { "Thu-B" }.into(),
        value,
        note: if n == 5 { "new batch DS-120" } else { "" }.into(),
        flagged: n >= 5,
    };
    let segment =
        |version: &str, letter: &str, centre: f64, start: u32, values: &[f64]| ChartSegment {
            version: version.into(),
            digest: digest(letter)[..12].into(),
            centre,
            warning: range(centre - 0.03, centre + 0.03),
            action: range(centre - 0.045, centre + 0.045),
            limits_from: "assigned value and its SD for a new session, from 6 sessions".into(),
            points: (start..).zip(values.iter().copied()).map(point).collect(),
        };
    ControlChart {
        dye: "Allura Red AC".into(),
        method: "saline-paper".into(),
        segments: vec![
            segment("1.1.0", "a", 0.405, 0, &[0.401, 0.412, 0.398, 0.441, 0.409]),
            segment(
                "1.2.0",
                "b",
                0.41,
                5,
                &[0.402, 0.399, 0.404, 0.397, 0.4, 0.395, 0.36],
            ),
        ],
        findings: text(&[
            "2026-11-22, Thu-B: 0.360 lies below the lower action limit 0.365",
            "7 in a row below the centre, from 2026-10-08 on",
        ]),
        demo: true,
        program: PROGRAM.into(),
    }
}

fn session(name: &str, papers: &[&[f64]]) -> SessionSpots {
    SessionSpots {
        session: name.into(),
        papers: (1..)
            .zip(papers)
            .map(|(n, rf)| PaperSpots {
                paper: format!("S{n}"),
                rf: rf.to_vec(),
            })
            .collect(),
    }
}

fn reference(dye: &str, assigned: f64, provisional: bool) -> ReferencePage {
    let near = |offsets: &[f64]| offsets.iter().map(|o| assigned + o).collect::<Vec<f64>>();
    ReferencePage {
        dye: dye.into(),
        assigned_rf: Some(assigned),
        assigned_u: Some(0.008),
        expected: range(assigned - 0.05, assigned + 0.05),
        provisional,
        colours: vec![("red".into(), 10), ("pink".into(), 2)],
        behaviour: "none noted".into(),
        numbers: vec![
            NumberOrigin {
                name: "SD between sessions".into(),
                value: "0.015".into(),
                from: "mean squares of 4 sessions; (MS sessions − MS papers) / 4".into(),
            },
            NumberOrigin {
                name: "Half-width of the expected range".into(),
                value: "0.050".into(),
                from: "t(0.975; 5.2) · SD of one spot in a new session · √(1 + 1/4)".into(),
            },
        ],
        sessions: vec![
            session(
                "Tue-A 2026-09-01",
                &[&near(&[0.004, -0.006]), &near(&[0.012, 0.009])],
            ),
            session(
                "Thu-B 2026-09-03",
                &[&near(&[-0.018, -0.013]), &near(&[-0.021])],
            ),
            session(
                "Tue-A 2026-09-08",
                &[&near(&[0.001, 0.006]), &near(&[0.011, 0.016])],
            ),
            session("Thu-B 2026-09-10", &[&near(&[0.021, 0.024])]),
        ],
        excluded: vec![ExcludedSpot {
            session: "Thu-B 2026-09-10".into(),
            place: "sheet sh-12, paper S2, lane 3, spot 1".into(),
            rf: assigned + 0.07,
            why: "paper touched the wall of the jar".into(),
            by: "coordinator, 2026-09-11".into(),
        }],
        more_papers: vec![MorePapers {
            design: "3 papers more, one each in 3 new sessions".into(),
            range: "± 0.043 instead of ± 0.050".into(),
        }],
    }
}

pub(crate) fn references() -> ReferenceSheet {
    ReferenceSheet {
        method: "saline-paper@1.2.0".into(),
        state: "approved".into(),
        digest: digest("b"),
        how: text(&["The assigned value is the mean of the session means."]),
        references: vec![
            reference("Allura Red AC", 0.41, false),
            reference("Tartrazine", 0.56, true),
        ],
        demo: true,
        program: PROGRAM.into(),
    }
}

pub(crate) fn slip(verdict: SlipVerdict) -> SuitabilitySlip {
    let line = |what: &str, value: &str, limit: &str, keeps| SlipLine {
        what: what.into(),
        value: value.into(),
        limit: limit.into(),
        keeps,
    };
    SuitabilitySlip {
        sheet: "sh-wed-c-control".into(),
        section: "Wed-C".into(),
        date: "2026-10-07".into(),
        method: "saline-paper@1.2.0".into(),
        digest: digest("b"),
        batch: "DS-120".into(),
        verdict,
        restrictions: text(&[
            "Allura Red AC and Sunset Yellow FCF can't be told apart today: resolution 0.8, wanted 1.0.",
        ]),
        lines: vec![
            line("Allura Red AC", "Rf 0.41", "0.36 to 0.46", Some(true)),
            line(
                "Brilliant Blue FCF",
                "Rf 0.93",
                "0.875 to 0.965",
                Some(true),
            ),
            line("front", "8.20 cm", "at least 5 cm", Some(true)),
            line("front tilt", "2.4 %", "at most 5 %", Some(true)),
            line(
                "resolution Allura Red AC, Sunset Yellow FCF",
                "0.8",
                "at least 1.0",
                Some(false),
            ),
            line("time to run", "not written", "20 to 40 min", None),
        ],
        demo: true,
        program: PROGRAM.into(),
    }
}

pub(crate) fn queries() -> QueryList {
    let check = |severity, place, message: &str, alternatives: &[&str]| Check {
        check: "front-missing".into(),
        severity,
        place,
        message: message.into(),
        alternatives: text(alternatives),
    };
    let group = |name: &str, checks| QueryGroup {
        group: name.into(),
        sheet: format!("sh-tue-a-{}", name.to_lowercase()),
        checks,
    };
    QueryList {
        covers: "sheets imported on 2026-10-06".into(),
        sections: vec![
            QuerySection {
                section: "Tue-A".into(),
                groups: vec![
                    group("G01", vec![]),
                    group(
                        "G02",
                        vec![
                            check(
                                Severity::Ask,
                                Where::lane("P2", 3),
                                "the front of lane 3 is blank",
                                &["8.10 cm, as in its neighbours"],
                            ),
                            check(
                                Severity::Stop,
                                Where::spot("P2", 1, 1),
                                "the spot at 8.40 cm lies beyond the front at 8.00 cm",
                                &[],
                            ),
                        ],
                    ),
                    group("G03", vec![]),
                ],
            },
            QuerySection {
                section: "Thu-B".into(),
                groups: vec![group(
                    "G11",
                    vec![check(
                        Severity::Warn,
                        Where::sheet(),
                        "all Rf lie 0.19 too high; consistent with spots measured from the paper's edge",
                        &["spots were measured to their leading edge"],
                    )],
                )],
            },
        ],
        stamp: "Checks against saline-paper@1.2.0 digest bbbbbbbbbbbb".into(),
        demo: true,
        program: PROGRAM.into(),
    }
}

pub(crate) fn solvents() -> SolventComparison {
    let method = |method: &str, letter: &str, composition: &[&str]| ComparedMethod {
        method: method.into(),
        state: "approved".into(),
        digest: digest(letter),
        composition: text(composition),
    };
    let dye = |dye: &str, colours: &str, a, b| DyeShift {
        dye: dye.into(),
        colours: colours.into(),
        rf: vec![a, b],
    };
    SolventComparison {
        methods: vec![
            method(
                "saline-paper@1.2.0",
                "a",
                &[
                    "acetic acid 0.8 % v/v",
                    "sodium chloride 1.2 % w/v",
                    "water to volume",
                ],
            ),
            method(
                "propanol-paper@1.0.0",
                "c",
                &["propan-2-ol 20 % v/v", "water to volume"],
            ),
        ],
        dyes: vec![
            dye("Tartrazine", "yellow", Some(0.56), Some(0.78)),
            dye("Sunset Yellow FCF", "orange", Some(0.47), Some(0.71)),
            dye("Allura Red AC", "red", Some(0.405), Some(0.62)),
            dye("Erythrosine", "pink", Some(0.12), Some(0.3)),
            dye("Brilliant Blue FCF", "blue", Some(0.92), Some(0.9)),
            dye("Indigo Carmine", "blue", Some(0.24), Some(0.66)),
            dye("Fast Green FCF", "green", Some(0.93), None),
        ],
        sentences: text(&[
            "Allura Red AC and Sunset Yellow FCF lie 0.065 apart in A and 0.09 in B; like colours, so the pair decides.",
        ]),
        pairs: vec![PairLine {
            pair: "Allura Red AC, Sunset Yellow FCF".into(),
            gaps: vec![
                ["0.065".into(), "6 %".into()],
                ["0.09".into(), "2 %".into()],
            ],
            note: "like colours".into(),
        }],
        measures: vec![MeasureLine {
            name: "Discriminating power".into(),
            values: text(&["0.93", "0.87"]),
            meaning: "share of pairs that can be told apart; higher is better".into(),
        }],
        notes: text(&["Fast Green FCF has not been measured in B."]),
        demo: true,
        program: PROGRAM.into(),
    }
}

pub(crate) fn template() -> PaperTemplate {
    PaperTemplate {
        method: "saline-paper@1.2.0".into(),
        width_mm: 160.0,
        height_mm: 130.0,
        baseline_mm: 16.0,
        stop_mm: Some(115.0),
        folds_mm: vec![],
        lanes: (1..=6)
            .map(|n| TemplateLane {
                number: n,
                label: [
                    "Yellow 5", "Red 40", "Blue 1", "Yellow 6", "Red 3", "Blue 2",
                ][n as usize - 1]
                    .into(),
                x_mm: 35.0 + 18.0 * f64::from(n - 1),
            })
            .collect(),
        demo: true,
    }
}

pub(crate) fn batch() -> BatchRecord {
    let line = |substance: &str, stock: &str, exact: &str, measure: &str, error: &str| BatchLine {
        substance: substance.into(),
        stock: stock.into(),
        exact: exact.into(),
        measure: measure.into(),
        error: error.into(),
    };
    BatchRecord {
        batch: String::new(),
        method: "saline-paper@1.2.0".into(),
        digest: digest("b"),
        volume: "2 L".into(),
        purpose: "sections Tue-A and Thu-B".into(),
        lines: vec![
            line(
                "acetic acid",
                "glacial acetic acid, 99.7 % w/w",
                "16.05 mL",
                "16.0 mL in a 25 mL cylinder",
                "−0.3 %",
            ),
            line("sodium chloride", "solid", "24.00 g", "24.0 g", "none"),
            line("water", "", "", "to 2000 mL", ""),
        ],
        alternatives: text(&["337 mL of vinegar, 5 % w/v, instead of the glacial acid."]),
        steps: text(&[
            "Half the water.",
            "The salt; stir until clear.",
            "The acid into the water.",
            "Water to the mark.",
        ]),
        predicted_ph: "2.8 (pKa 4.756, activities ignored)".into(),
        shelf_life: "28 days, closed".into(),
        made_on: String::new(),
        made_by: String::new(),
        use_until: String::new(),
        cautions: cautions(),
        demo: true,
        program: PROGRAM.into(),
    }
}

pub(crate) fn label() -> BottleLabel {
    BottleLabel {
        name: "Developing solvent, salted vinegar".into(),
        composition: text(&[
            "acetic acid 0.8 % v/v",
            "sodium chloride 1.2 % w/v",
            "water to volume",
        ]),
        batch: "DS-120".into(),
        made_on: "2026-10-05".into(),
        use_until: "2026-11-02".into(),
        made_by: String::new(),
        method: "saline-paper@1.2.0".into(),
        digest: digest("b"),
        cautions: cautions(),
        copies: 4,
        demo: true,
        program: PROGRAM.into(),
    }
}

pub(crate) fn change() -> Notice {
    let line = |dye: &str, low, high, colours: &str, note: &str| HandoutLine {
        dye: dye.into(),
        expected: range(low, high),
        colours: colours.into(),
        note: note.into(),
    };
    Notice {
        date: "2026-10-12".into(),
        from: "saline-paper@1.2.0".into(),
        to: "propanol-paper@1.0.0".into(),
        digest: digest("c"),
        effective: "from the session of Tue-A on 2026-10-13".into(),
        changes: text(&["The developing solvent is propan-2-ol 20 % v/v in water."]),
        why: "The vinegar's smell was complained of.".into(),
        comparable: false,
        discard: text(&["batch DS-120", "hand-outs that say saline-paper"]),
        sections: vec![
            ("Tue-A".into(), "2026-10-13".into()),
            ("Thu-B".into(), "2026-10-15".into()),
        ],
        table: vec![
            line("Allura Red AC", 0.57, 0.67, "red", ""),
            line("Tartrazine", 0.73, 0.83, "yellow", "provisional"),
        ],
        pairs: text(&[
            "Indigo Carmine and Allura Red AC lie at one place; their colours tell them apart.",
        ]),
        demo: true,
        program: PROGRAM.into(),
    }
}

pub(crate) fn strategies() -> StrategyComparison {
    let bin = |low: f64, count, mean_stated, share_right, interval: Option<Range>| CalibrationBin {
        stated: range(low, low + 0.2),
        count,
        mean_stated,
        share_right,
        interval,
    };
    let rate = |strategy: &str, right: &str, wrong: &str| RateLine {
        strategy: strategy.into(),
        judged: "120".into(),
        right: right.into(),
        wrong: wrong.into(),
        undecided: "15 of 120 (12.5 %)".into(),
        missed: "3 of 120 (2.5 %)".into(),
    };
    StrategyComparison {
        sheets: "48 sheets of saline-paper@1.2.0".into(),
        strategies: text(&[
            "range 1.0.0 (digest 111111111111)",
            "posterior 1.1.0 (digest 222222222222)",
        ]),
        versions: vec![VersionComparison {
            method: "saline-paper@1.2.0".into(),
            covers: "48 sheets, 192 sample lanes, 310 spots.".into(),
            rates: vec![
                rate("range", "99 of 120 (82.5 %)", "3 of 120 (2.5 %)"),
                rate("posterior", "101 of 120 (84.2 %)", "1 of 120 (0.8 %)"),
            ],
            differences: vec![DifferenceLine {
                place: "sh-tue-a-g07, paper P2, lane 3, spot 1".into(),
                truth: "Allura Red AC".into(),
                answers: text(&[
                    "indistinguishable: Allura Red AC or Sunset Yellow FCF",
                    "identified: Allura Red AC",
                ]),
            }],
            calibration: vec![
                CalibrationSeries {
                    strategy: "posterior".into(),
                    bins: vec![
                        bin(0.0, 0, 0.1, 0.0, None),
                        bin(0.4, 14, 0.51, 0.57, Some(range(0.33, 0.79))),
                        bin(0.6, 20, 0.71, 0.65, Some(range(0.43, 0.82))),
                        bin(0.8, 86, 0.93, 0.95, Some(range(0.89, 0.98))),
                    ],
                    summary: "Brier score 0.06; 0 is best, 0.25 is guessing".into(),
                },
                CalibrationSeries {
                    strategy: "co-run".into(),
                    bins: vec![
                        bin(0.6, 30, 0.75, 0.6, Some(range(0.42, 0.75))),
                        bin(0.8, 40, 0.9, 0.8, Some(range(0.65, 0.9))),
                    ],
                    summary: String::new(),
                },
            ],
            notes: vec![],
        }],
        notes: vec![],
        demo: true,
        program: PROGRAM.into(),
    }
}
