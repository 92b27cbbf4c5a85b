//! Signatures of measuring mistakes: each a model of its own, fitted to the standards of a paper and
//! compared by likelihood with "nothing wrong" under the method's own spread.

use model::Model;

mod both_from_edge;
mod columns_exchanged;
mod diagnosis;
mod front_off;
mod labels_exchanged;
mod lanes_reversed;
mod model;
mod rows_slipped;
mod signature;
mod signature_words;
mod spot_off_centre;
mod standards;
mod stray_value;
mod structured_normal;
mod value_in_other_unit;

pub use model::{Model as SignatureModel, Remedy};
pub(crate) use signature::signatures;
pub use signature::{OtherSignature, Signature, SpotIfSo, find_signatures};
pub(crate) use signature_words::{finding, reading_of};

/// All models, by name.
pub const SIGNATURES: &[Model] = &[
    both_from_edge::MODEL,
    columns_exchanged::MODEL,
    front_off::MODEL,
    labels_exchanged::MODEL,
    lanes_reversed::MODEL,
    rows_slipped::MODEL,
    spot_off_centre::MODEL,
    stray_value::MODEL,
    value_in_other_unit::MODEL,
];

#[cfg(test)]
mod tests {
    use super::SIGNATURES;
    use std::path::Path;

    /// Files of the folder that are no model.
    const OTHERS: [&str; 7] = [
        "diagnosis",
        "mod",
        "model",
        "signature",
        "signature-words",
        "standards",
        "structured-normal",
    ];

    #[test]
    fn every_model_of_the_folder_is_in_the_list_under_its_own_name() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/signatures");
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
            .filter(|name| !OTHERS.contains(&name.as_str()))
            .collect();
        files.sort_unstable();
        let listed: Vec<&str> = SIGNATURES.iter().map(|model| model.id).collect();
        assert_eq!(
            listed, files,
            "a line `mod x;` or `x::MODEL,` is missing in signatures/mod.rs"
        );
    }
}
