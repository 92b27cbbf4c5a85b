//! What the author of a dyebook plug-in uses: traits, messages and two macros.
//!
//! A plug-in is a library with *components*. A [`strategy::Strategy`] says which dyes are in a lane;
//! an [`importer::Importer`] reads a file format that data sheets come in. This crate takes care of
//! the C table, of panics, of JSON and its [`binary`] twin; a plug-in in C does without it and has the
//! header alone.
//!
//! # Write a strategy in fifteen minutes
//!
//! **Minute 0: a folder.** `dyebook plugin new org.example.halfway --kind strategy --lang rust` writes
//! one that already works. What follows is how you would get there by hand.
//!
//! **Minute 2: what to decide by.** Ours takes a spot for a dye when its Rf lies nearer to the middle
//! of the expected range than half of the range's half width: stricter than being in the range. The
//! part of the half width is a parameter. Parameters are a type with defaults; what is unknown is
//! refused, so that a misspelt parameter does not pass unseen.
//!
//! ```
//! use serde::Deserialize;
//!
//! #[derive(Deserialize)]
//! #[serde(default, deny_unknown_fields)]
//! pub struct Config {
//!     part: f64,
//! }
//!
//! impl Default for Config {
//!     fn default() -> Self {
//!         Config { part: 0.5 }
//!     }
//! }
//! ```
//!
//! **Minute 5: the strategy.** [`strategy::Strategy::prepare`] gets the parameters and the reference set
//! of a method version, once. [`strategy::Strategy::match_lane`] answers one lane. It can't change
//! anything, because an answer must not depend on what was asked before.
//! [`strategy::reasons::judge_each`] takes off our hands what every strategy does alike: a spot
//! without an Rf, a streak, an empty reference set.
//!
//! ```
//! # use serde::Deserialize;
//! # #[derive(Deserialize)]
//! # #[serde(default, deny_unknown_fields)]
//! # pub struct Config { part: f64 }
//! # impl Default for Config { fn default() -> Self { Config { part: 0.5 } } }
//! use dyebook_plugin::Result;
//! use dyebook_plugin::strategy::{
//!     Answer, Candidate, ColourTable, ColourVerdict, Decision, Question, Reference, ReferenceSet,
//!     SpotAnswer, Strategy, reasons,
//! };
//!
//! pub struct Halfway {
//!     part: f64,
//!     set: ReferenceSet,
//!     colours: ColourTable,
//! }
//!
//! impl Strategy for Halfway {
//!     type Config = Config;
//!
//!     fn prepare(config: &Config, set: ReferenceSet) -> Result<Self> {
//!         let colours = ColourTable::new(&set.colour_words);
//!         Ok(Halfway { part: config.part, set, colours })
//!     }
//!
//!     fn match_lane(&self, question: &Question<'_>) -> Result<Answer> {
//!         let near = |reference: &&Reference, rf: f64| {
//!             let range = reference.expected_rf;
//!             let middle = (range.low + range.high) / 2.0;
//!             (rf - middle).abs() <= self.part * (range.high - range.low) / 2.0
//!         };
//!         Ok(reasons::judge_each(question.lane, &self.set, |spot, rf| {
//!             let references = self.set.references.iter().filter(|reference| near(reference, rf));
//!             let fits: Vec<Candidate> = references
//!                 .map(|reference| {
//!                     let seen = spot.colour.as_deref();
//!                     Candidate::new(reference, rf, self.colours.judge(seen, &reference.colours))
//!                 })
//!                 .filter(|candidate| candidate.colour != ColourVerdict::Disagrees)
//!                 .collect();
//!             let decision = match fits.len() {
//!                 0 => Decision::NotInReferenceSet,
//!                 1 => Decision::Identified,
//!                 _ => Decision::Indistinguishable,
//!             };
//!             SpotAnswer::new(spot, decision, fits, "By the inner part of the expected ranges.")
//!         }))
//!     }
//! }
//!
//! dyebook_plugin::plugin! { id: "org.example.halfway", components: { "halfway" => strategy Halfway } }
//! dyebook_plugin::export_plugin!(PLUGIN);
//!
//! // **Minute 10: a test**, without a host. In your crate it stands in a `#[test]`.
//! use dyebook_plugin::Context;
//! use dyebook_plugin::strategy::{Lane, Sheet, Spot};
//!
//! let mut set = ReferenceSet::default();
//! set.references = vec![Reference::new("amaranth", 0.40, 0.60)];
//! let strategy = Halfway::prepare(&Config::default(), set).unwrap();
//! let mut lane = Lane::default();
//! lane.spots = vec![Spot::new(1, 0.54, 0.01), Spot::new(2, 0.56, 0.01)];
//! let (sheet, context) = (Sheet::default(), Context::without_host());
//! let answer = strategy.match_lane(&Question::new(&lane, &sheet, &context)).unwrap();
//! assert_eq!(answer.spots[0].decision, Decision::Identified);
//! assert_eq!(answer.spots[1].decision, Decision::NotInReferenceSet);
//! assert_eq!(answer.dyes[0].dye, "amaranth");
//! ```
//!
//! [`plugin!`] makes the descriptor, and [`export_plugin!`] the one symbol that a library exports.
//!
//! **Minute 12: the manifest.** `manifest.json` stands beside the library and says the same id,
//! version and components; the version is that of your `Cargo.toml`. `config_schema` is what
//! `--param part=0.3` is checked against before your code sees it.
//!
//! ```json
//! { "manifest": 1, "id": "org.example.halfway", "name": "Halfway", "version": "0.1.0",
//!   "license": "MIT", "abi": "1.0",
//!   "components": [ { "kind": "strategy", "name": "halfway", "contract": "strategy/1",
//!     "config_schema": { "type": "object", "additionalProperties": false, "properties": {
//!       "part": { "type": "number", "minimum": 0, "maximum": 1, "default": 0.5 } } } } ] }
//! ```
//!
//! **Minute 14: try it.** With `crate-type = ["cdylib"]` in `Cargo.toml`:
//!
//! ```text
//! cargo build --release && cp target/release/libhalfway.so .
//! dyebook plugin seal .                                   size and digest go into the manifest
//! dyebook plugin test . --allow-unapproved-here           the conformance kit
//! dyebook plugin approve . --sha256 …                     the digest that `seal` showed
//! dyebook identify --all --strategy org.example.halfway/halfway --param part=0.3
//! ```
//!
//! # Rules
//!
//! - An answer is a function of configuration, reference set and question.
//! - A panic costs the lane it happened in; an error from `match_lane` too.
//! - Say why, in a sentence, with the numbers: a coordinator reads it.
//! - A plug-in gets no files, no network and no environment. What it prints goes to a log.

pub mod binary;
mod context;
mod error;
mod macros;
mod sink;

#[doc(hidden)]
pub mod component;
#[doc(hidden)]
pub mod shim;

pub mod importer;
pub mod strategy;
pub mod strict_json;

pub use context::{Context, Level};
pub use dyebook_plugin_abi as abi;
pub use error::{Error, Result};
#[doc(hidden)]
pub use macros::describe;

pub(crate) use shim::panic_text;
