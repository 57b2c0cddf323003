//! "Did you mean": the name nearest to a mistyped one.

/// Likeness below which two names have nothing to do with each other.
const ALIKE: f64 = 0.75;

/// The candidate most like `word`, if any is like enough to be worth naming.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = word.to_lowercase().replace('_', "-");
    candidates
        .into_iter()
        .map(|candidate| {
            (
                strsim::jaro_winkler(&wanted, &candidate.to_lowercase().replace('_', "-")),
                candidate,
            )
        })
        .filter(|(likeness, _)| *likeness >= ALIKE)
        .max_by(|one, other| one.0.total_cmp(&other.0))
        .map(|(_, candidate)| candidate)
}

/// A list for a hint, cut where it gets long: "`a`, `b` or `c`".
pub fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let names: Vec<_> = names.into_iter().map(|name| format!("`{name}`")).collect();
    match names.as_slice() {
        [] => "nothing".to_owned(),
        [one] => one.clone(),
        [most @ .., last] if most.len() < 9 => format!("{} or {last}", most.join(", ")),
        many => format!("{} … ({} in all)", many[..8].join(", "), many.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_the_nearest_name_is_found_and_a_far_one_is_not() {
        let keys = ["capacity", "chemistry", "series"];
        assert_eq!(nearest("capcity", keys), Some("capacity"));
        assert_eq!(nearest("Seires", keys), Some("series"));
        assert_eq!(nearest("zzz", keys), None);
    }
}
