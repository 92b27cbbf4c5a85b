//! The entry checks, one file each, in the order of their names.

use crate::entry_check::EntryCheck;

mod blank_not_clean;
mod colour_contradicts_label;
mod column_scale;
mod columns_exchanged;
mod date_outside_method;
mod decimals;
mod distance_order;
mod front_length;
mod front_missing;
mod front_not_positive;
mod front_same_in_all_lanes;
mod front_tilt;
mod fronts_differ_in_lane;
mod impossible_lane;
mod impossible_paper;
mod label_not_in_reference_set;
mod lane_repeated;
mod method_not_approved;
mod missing_distance;
mod negative_distance;
mod paper_repeated;
mod rank_order_inverted;
mod reading_to_half_millimetre;
mod reported_identity;
mod reported_rf;
mod smeared_spot;
mod spot_beyond_front;
mod spot_numbering;
mod standard_extra_spots;
mod standard_outside_range;
mod standard_without_spot;
mod unit_label;
mod unknown_label;

pub(crate) use rank_order_inverted::exchanged_lanes;

/// All entry checks, by name.
pub const ENTRY_CHECKS: &[EntryCheck] = &[
    blank_not_clean::CHECK,
    colour_contradicts_label::CHECK,
    column_scale::CHECK,
    columns_exchanged::CHECK,
    date_outside_method::CHECK,
    decimals::CHECK,
    distance_order::CHECK,
    front_length::CHECK,
    front_missing::CHECK,
    front_not_positive::CHECK,
    front_same_in_all_lanes::CHECK,
    front_tilt::CHECK,
    fronts_differ_in_lane::CHECK,
    impossible_lane::CHECK,
    impossible_paper::CHECK,
    label_not_in_reference_set::CHECK,
    lane_repeated::CHECK,
    method_not_approved::CHECK,
    missing_distance::CHECK,
    negative_distance::CHECK,
    paper_repeated::CHECK,
    rank_order_inverted::CHECK,
    reading_to_half_millimetre::CHECK,
    reported_identity::CHECK,
    reported_rf::CHECK,
    smeared_spot::CHECK,
    spot_beyond_front::CHECK,
    spot_numbering::CHECK,
    standard_extra_spots::CHECK,
    standard_outside_range::CHECK,
    standard_without_spot::CHECK,
    unit_label::CHECK,
    unknown_label::CHECK,
];

#[cfg(test)]
mod tests {
    use super::ENTRY_CHECKS;
    use std::path::Path;

    #[test]
    fn every_file_of_the_folder_is_in_the_list_under_its_own_name() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/checks");
        let mut files: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .map(|path| {
                path.file_stem()
                    .unwrap()
                    .to_str()
                    .unwrap()
                    .replace('_', "-")
            })
            .filter(|name| name != "mod")
            .collect();
        files.sort_unstable();
        let listed: Vec<&str> = ENTRY_CHECKS.iter().map(|check| check.id).collect();
        assert_eq!(
            listed, files,
            "a line `mod x;` or `x::CHECK,` is missing in checks/mod.rs"
        );
    }

    #[test]
    fn every_check_says_why_it_matters_in_a_sentence() {
        for check in ENTRY_CHECKS {
            assert!(
                check.why.ends_with('.') && check.why.len() > 30,
                "{}",
                check.id
            );
        }
    }
}
