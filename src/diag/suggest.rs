//! The near miss: the one place where "did you mean" is decided.

/// The candidate that `word` is most likely a slip for, if one is near enough.
///
/// A swap of two letters counts as one slip, as does a letter added, lost or changed. Words of up to
/// three letters may differ by one slip and must share a letter with it, words of up to seven by two, longer ones by
/// three; of equal candidates the first wins, so the order of the candidates decides.
///
/// ```
/// use casewright::diag::nearest;
/// assert_eq!(nearest("shelfs", ["shelf", "shelves", "side"].into_iter()), Some("shelf"));
/// assert_eq!(nearest("oak", ["ash", "elm"].into_iter()), None);
/// ```
pub fn nearest<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let length = word.chars().count();
    let limit = match length {
        0 => return None,
        1..=3 => 1,
        4..=7 => 2,
        _ => 3,
    };
    let lower = word.to_lowercase();
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let other = candidate.to_lowercase();
        if other.chars().count().abs_diff(length) > limit {
            continue;
        }
        let slips = strsim::damerau_levenshtein(&lower, &other);
        let shares =
            length > 1 && candidate.chars().count() > 1 && lower.chars().any(|c| other.contains(c));
        if (slips == 0 || (slips <= limit && shares)) && best.is_none_or(|(least, _)| slips < least)
        {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// The candidate that `word` is a slip for beyond doubt: one slip away (two of long words), and every
/// other candidate at least two more.
///
/// ```
/// use casewright::diag::surely;
/// assert_eq!(surely("tihck", ["thick", "wide"].into_iter()), Some("thick"));
/// assert_eq!(surely("shelfs", ["shelf", "shelves"].into_iter()), None);
/// ```
pub fn surely<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    let length = lower.chars().count();
    let mut best: Option<(usize, &str)> = None;
    let mut second = usize::MAX;
    for candidate in candidates {
        if best.is_some_and(|(_, known)| known == candidate) {
            continue;
        }
        let slips = strsim::damerau_levenshtein(&lower, &candidate.to_lowercase());
        match best {
            Some((least, _)) if slips >= least => second = second.min(slips),
            _ => {
                second = second.min(best.map_or(usize::MAX, |(least, _)| least));
                best = Some((slips, candidate));
            }
        }
    }
    let (slips, candidate) = best?;
    let near = match slips {
        0 => true,
        1 => length > 2,
        2 => length > 6,
        _ => false,
    };
    (near && second >= slips.saturating_add(2)).then_some(candidate)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    fn of(word: &str, list: &[&'static str]) -> Option<&'static str> {
        nearest(word, list.iter().copied())
    }

    #[test]
    fn a_swap_a_lost_letter_and_a_wrong_case_are_slips() {
        assert_eq!(of("dvider", &["drawer", "divider"]), Some("divider"));
        assert_eq!(of("tihck", &["thick", "tick"]), Some("thick"));
        assert_eq!(of("WIDE", &["wide"]), Some("wide"));
    }

    #[test]
    fn short_words_are_strict_and_the_first_of_equals_wins() {
        assert_eq!(of("x", &["y", "mm"]), None);
        assert_eq!(of("top", &["bottom", "lip"]), None);
        assert_eq!(of("rar", &["rear", "bar"]), Some("rear"));
        assert_eq!(of("rar", &["bar", "rear"]), Some("bar"));
        assert_eq!(of("cupboard", &["commission"]), None);
    }
}
