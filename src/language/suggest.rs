//! "Did you mean": the nearest of the words that would be right, and lists of words as an error shows them.

/// How many candidates are looked at, so that a spec full of mistakes is still answered at once.
const MOST_CANDIDATES: usize = 1000;

/// The nearest candidate, if it is near enough to be a slip: about one letter in three.
pub(crate) fn nearest<'c>(word: &str, candidates: impl IntoIterator<Item = &'c str>) -> Option<&'c str> {
    let length = word.chars().count();
    let allowed = (length / 3).clamp(1, 4);
    candidates
        .into_iter()
        .take(MOST_CANDIDATES)
        .filter(|c| c.chars().count().abs_diff(length) <= allowed)
        .map(|c| (strsim::osa_distance(word, c), c))
        .filter(|(distance, candidate)| *distance <= allowed && *distance < candidate.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// The nearest name of a file; an ending that two names share makes them no more alike.
pub(crate) fn nearest_file<'c>(name: &str, candidates: impl IntoIterator<Item = &'c str>) -> Option<&'c str> {
    let Some((stem, ending)) = name.rsplit_once('.') else { return nearest(name, candidates) };
    let stem_of = |file: &'c str| file.strip_suffix(ending).and_then(|stem| stem.strip_suffix('.'));
    let (alike, others): (Vec<_>, Vec<_>) = candidates.into_iter().partition(|&file| stem_of(file).is_some());
    let found = nearest(stem, alike.iter().filter_map(|&file| stem_of(file)));
    found.and_then(|stem| alike.into_iter().find(|&file| stem_of(file) == Some(stem))).or_else(|| nearest(name, others))
}

/// `` `a`, `b` or `c` ``; nothing stands for an empty list, and after twelve the rest are counted.
pub(super) fn any_of<'c>(words: impl IntoIterator<Item = &'c str>) -> String {
    listed(words, "or")
}

/// `` `a`, `b` and `c` ``.
pub(crate) fn all_of<'c>(words: impl IntoIterator<Item = &'c str>) -> String {
    listed(words, "and")
}

fn listed<'c>(words: impl IntoIterator<Item = &'c str>, joint: &str) -> String {
    let mut quoted: Vec<String> = words.into_iter().map(|w| format!("`{w}`")).collect();
    let hidden = quoted.len().saturating_sub(12);
    if hidden > 1 {
        quoted.truncate(12);
        return format!("{} {joint} {hidden} more", quoted.join(", "));
    }
    match quoted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} {joint} {last}", others.join(", ")),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shared_ending_makes_no_two_names_alike() {
        let files = ["many.lamp", "codes.lamp", "my.lamp", "my.txt"];
        for (name, found) in [
            ("gone.lamp", None),
            ("codse.lamp", Some("codes.lamp")),
            ("mx.lamp", Some("my.lamp")),
            ("many.lmap", Some("many.lamp")),
        ] {
            assert_eq!(nearest_file(name, files), found, "{name}");
        }
    }
}
