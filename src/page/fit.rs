//! The largest size with which something fits: one search for every page that tries a stated list of sizes.

/// What the first of `sizes`, the largest first, gives that gives anything.
pub fn largest<S, T>(
    sizes: impl IntoIterator<Item = S>,
    fit: impl FnMut(S) -> Option<T>,
) -> Option<T> {
    sizes.into_iter().find_map(fit)
}

/// The same where each size takes no more room than the one before it, so that half of them are left out at each step.
pub fn largest_of_falling<S: Copy, T>(
    mut sizes: &[S],
    mut fit: impl FnMut(S) -> Option<T>,
) -> Option<T> {
    let mut best = None;
    while !sizes.is_empty() {
        let (larger, rest) = sizes.split_at(sizes.len() / 2);
        match fit(rest[0]) {
            Some(fitting) => (sizes, best) = (larger, Some(fitting)),
            None => sizes = &rest[1..],
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_searches_find_the_first_size_that_fits_and_none_where_none_does() {
        let sizes: Vec<u32> = (0..9).rev().collect();
        for room in 0..9 {
            let fit = |size: u32| (size < room).then_some(size);
            let expected = room.checked_sub(1);
            assert_eq!(largest(sizes.iter().copied(), fit), expected);
            assert_eq!(largest_of_falling(&sizes, fit), expected);
        }
    }
}
