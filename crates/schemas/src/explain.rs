//! From the validator's findings to sentences a coordinator can act on.

use crate::catalogue;
use crate::problem::Problem;
use jsonschema::error::{TypeKind, ValidationErrorKind as Kind};
use jsonschema::{JsonType, ValidationError};
use serde_json::Value;

/// Longest piece of a found value that is shown.
const SHOWN: usize = 60;

/// What one finding of the validator means: mostly one problem, several for unexpected keys.
pub(crate) fn explain(error: &ValidationError<'_>) -> Vec<Problem> {
    let place = error.instance_path().as_str().to_owned();
    let found = error.instance();
    match error.kind() {
        Kind::AdditionalProperties { unexpected } | Kind::UnevaluatedProperties { unexpected } => {
            unexpected
                .iter()
                .map(|key| unexpected_key(error, &place, key))
                .collect()
        }
        Kind::Required { property } => vec![missing_key(error, &place, property)],
        Kind::AnyOf { context } | Kind::OneOfNotValid { context } => nearest_branch(context)
            .unwrap_or_else(|| vec![plain(error, place, "fits none of the allowed forms")]),
        Kind::OneOfMultipleValid { .. } => {
            vec![plain(
                error,
                place,
                "fits more than one of the forms of which exactly one may hold",
            )]
        }
        Kind::Type { kind } => vec![wrong_type(error, place, kind, found)],
        Kind::Enum { options } => vec![not_an_option(place, options, found)],
        Kind::Constant { expected_value } => {
            vec![Problem::at(
                place,
                format!("must be {expected_value}, found {}", shown(found)),
            )]
        }
        Kind::Minimum { limit } => vec![bound(place, "at least", limit, found)],
        Kind::ExclusiveMinimum { limit } => vec![bound(place, "more than", limit, found)],
        Kind::Maximum { limit } => vec![bound(place, "at most", limit, found)],
        Kind::ExclusiveMaximum { limit } => vec![bound(place, "less than", limit, found)],
        Kind::MinLength { .. } => vec![plain(error, place, "must not be empty or that short")],
        Kind::MaxLength { limit } => {
            vec![Problem::at(
                place,
                format!("is longer than {limit} characters"),
            )]
        }
        Kind::MinItems { limit } => {
            vec![Problem::at(
                place,
                format!("must have at least {limit} entries"),
            )]
        }
        Kind::MaxItems { limit } => {
            vec![Problem::at(
                place,
                format!("must have at most {limit} entries"),
            )]
        }
        Kind::UniqueItems => vec![Problem::at(place, "has the same entry twice")],
        Kind::Pattern { .. } | Kind::Format { .. } => {
            vec![plain(
                error,
                place,
                &format!("has not the form asked for, found {}", shown(found)),
            )]
        }
        Kind::FalseSchema | Kind::Not { .. } => {
            vec![plain(
                error,
                place,
                "may not stand here together with what else is given",
            )]
        }
        _ => vec![Problem::at(
            place,
            format!("does not fit: {}", error.masked()),
        )],
    }
}

fn plain(error: &ValidationError<'_>, place: String, message: &str) -> Problem {
    let problem = Problem::at(place, message);
    match described(error) {
        Some(text) => problem.with_hint(text),
        None => problem,
    }
}

fn unexpected_key(error: &ValidationError<'_>, place: &str, key: &str) -> Problem {
    let problem = Problem::at(
        format!("{place}/{}", key.replace('~', "~0").replace('/', "~1")),
        "is not a key that may stand here",
    );
    let known = sibling_keys(error);
    match nearest(key, known.iter().map(String::as_str)) {
        Some(near) => problem.with_hint(format!("did you mean `{near}`?")),
        None if known.is_empty() => problem,
        None => problem.with_hint(format!("the keys here are {}", quoted(&known))),
    }
}

fn missing_key(error: &ValidationError<'_>, place: &str, property: &Value) -> Problem {
    let key = property.as_str().unwrap_or_default();
    let problem = Problem::at(format!("{place}/{key}"), "is missing");
    let member = parent_schema(error)
        .and_then(|schema| schema.get("properties")?.get(key).cloned())
        .unwrap_or_default();
    if let Some(options) = member.get("enum").and_then(Value::as_array) {
        let options: Vec<String> = options
            .iter()
            .filter_map(|o| o.as_str().map(str::to_owned))
            .collect();
        return problem.with_hint(format!("one of {}", quoted(&options)));
    }
    match member.get("description").and_then(Value::as_str) {
        Some(text) => problem.with_hint(text),
        None => problem,
    }
}

fn wrong_type(
    error: &ValidationError<'_>,
    place: String,
    kind: &TypeKind,
    found: &Value,
) -> Problem {
    let wanted = match kind {
        TypeKind::Single(one) => type_name(*one).to_owned(),
        TypeKind::Multiple(several) => several
            .iter()
            .map(type_name)
            .collect::<Vec<_>>()
            .join(" or "),
    };
    let problem = Problem::at(place, format!("must be {wanted}, found {}", shown(found)));
    if let (true, Some(text)) = (wanted.contains("number"), found.as_str()) {
        let point = text.trim().replace(',', ".");
        if point.parse::<f64>().is_ok() {
            return problem.with_hint(format!(
                "numbers stand without quotes and with a decimal point: {point}"
            ));
        }
    }
    match described(error) {
        Some(text) => problem.with_hint(text),
        None => problem,
    }
}

fn type_name(kind: JsonType) -> &'static str {
    match kind {
        JsonType::Array => "a list",
        JsonType::Boolean => "true or false",
        JsonType::Integer => "a whole number",
        JsonType::Null => "null",
        JsonType::Number => "a number",
        JsonType::Object => "an object",
        JsonType::String => "a text",
    }
}

fn not_an_option(place: String, options: &Value, found: &Value) -> Problem {
    let options: Vec<String> = options
        .as_array()
        .into_iter()
        .flatten()
        .map(|o| o.as_str().map_or_else(|| o.to_string(), str::to_owned))
        .collect();
    let message = format!(
        "must be one of {}, found {}",
        quoted(&options),
        shown(found)
    );
    let near = found
        .as_str()
        .and_then(|f| nearest(f, options.iter().map(String::as_str)));
    match near {
        Some(near) => Problem::at(place, message).with_hint(format!("did you mean `{near}`?")),
        None => Problem::at(place, message),
    }
}

fn bound(place: String, words: &str, limit: &Value, found: &Value) -> Problem {
    Problem::at(
        place,
        format!("must be {words} {limit}, found {}", shown(found)),
    )
}

/// Of several allowed forms, the one that was missed by the least: deepest place, fewest problems.
fn nearest_branch(context: &[Vec<ValidationError<'static>>]) -> Option<Vec<Problem>> {
    let missed_by = |errors: &&Vec<ValidationError<'static>>| {
        let depth = errors
            .iter()
            .map(|e| e.instance_path().segments().count())
            .max()
            .unwrap_or(0);
        (std::cmp::Reverse(depth), errors.len())
    };
    let best = context
        .iter()
        .filter(|errors| !errors.is_empty())
        .min_by_key(missed_by)?;
    Some(best.iter().flat_map(explain).collect())
}

/// Nearest of the known words, if it is near enough to be what was meant.
fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let folded = word.to_lowercase();
    known
        .map(|k| (strsim::damerau_levenshtein(&folded, &k.to_lowercase()), k))
        .filter(|(distance, k)| *distance <= 1 + k.len().min(word.len()) / 4)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, k)| k)
}

fn shown(value: &Value) -> String {
    let text = value.to_string();
    if text.chars().count() <= SHOWN {
        return format!("`{text}`");
    }
    let cut: String = text.chars().take(SHOWN).collect();
    format!("`{cut}…`")
}

fn quoted(words: &[String]) -> String {
    words
        .iter()
        .map(|w| format!("`{w}`"))
        .collect::<Vec<_>>()
        .join(", ")
}

fn sibling_keys(error: &ValidationError<'_>) -> Vec<String> {
    parent_schema(error)
        .and_then(|schema| {
            Some(
                schema
                    .get("properties")?
                    .as_object()?
                    .keys()
                    .cloned()
                    .collect(),
            )
        })
        .unwrap_or_default()
}

fn described(error: &ValidationError<'_>) -> Option<String> {
    parent_schema(error)?
        .get("description")?
        .as_str()
        .map(str::to_owned)
}

/// The schema object that holds the keyword which failed.
fn parent_schema(error: &ValidationError<'_>) -> Option<Value> {
    let location = error.absolute_keyword_location()?.as_str();
    let (file, fragment) = location.split_once('#')?;
    let schema = catalogue::ALL.iter().find(|schema| schema.uri() == file)?;
    let root: Value = serde_json::from_str(schema.text).ok()?;
    let parent = fragment.rsplit_once('/').map_or("", |(parent, _)| parent);
    root.pointer(&parent.replace("%24", "$").replace("%5E", "^"))
        .cloned()
}
