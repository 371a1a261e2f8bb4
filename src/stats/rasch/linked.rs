//! Whether the answers can put the questions on one scale.
//!
//! Finite difficulties exist just when, from every question, every other can be reached by steps "somebody
//! had this one right and that one wrong" (Fischer 1981, *Psychometrika* 46, 59-77, from memory).

/// How the questions hang together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Linking {
    /// Every question can be compared with every other.
    Whole,
    /// One part of the questions was never wrong where another part was right.
    OneWay,
    /// Nobody was given questions of both of two parts, or only with all or none right.
    Apart,
}

/// How the questions in `kept` hang together; `ahead` says what was right where what was wrong.
pub(super) fn linking(ahead: &[Vec<bool>], kept: &[usize]) -> Linking {
    let is_ahead = |from: usize, to: usize| {
        ahead
            .get(from)
            .and_then(|row| row.get(to))
            .copied()
            .unwrap_or(false)
    };
    let everything = |step: &dyn Fn(usize, usize) -> bool| reached(kept, step) == kept.len();
    if everything(&|from, to| is_ahead(from, to)) && everything(&|from, to| is_ahead(to, from)) {
        Linking::Whole
    } else if everything(&|from, to| is_ahead(from, to) || is_ahead(to, from)) {
        Linking::OneWay
    } else {
        Linking::Apart
    }
}

/// How many questions can be reached from the first one.
fn reached(kept: &[usize], step: &dyn Fn(usize, usize) -> bool) -> usize {
    let mut left: Vec<usize> = kept.to_vec();
    let mut edge: Vec<usize> = left.pop().into_iter().collect();
    let mut count = 0;
    while let Some(from) = edge.pop() {
        count += 1;
        let (near, far) = left
            .iter()
            .partition::<Vec<usize>, _>(|&&to| step(from, to));
        edge.extend(near);
        left = far;
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(pairs: &[(usize, usize)]) -> Vec<Vec<bool>> {
        let mut ahead = vec![vec![false; 4]; 4];
        for (right, wrong) in pairs {
            ahead[*right][*wrong] = true;
        }
        ahead
    }

    #[test]
    fn a_ring_is_whole_a_chain_is_one_way_and_two_pairs_are_apart() {
        let every = [0, 1, 2, 3];
        assert_eq!(
            linking(&table(&[(0, 1), (1, 2), (2, 3), (3, 0)]), &every),
            Linking::Whole
        );
        assert_eq!(
            linking(&table(&[(0, 1), (1, 2), (2, 3)]), &every),
            Linking::OneWay
        );
        let pairs = [(0, 1), (1, 0), (2, 3), (3, 2)];
        assert_eq!(linking(&table(&pairs), &every), Linking::Apart);
        assert_eq!(linking(&table(&pairs), &[2, 3]), Linking::Whole);
    }

    #[test]
    fn one_question_hangs_together_with_itself() {
        assert_eq!(linking(&table(&[]), &[2]), Linking::Whole);
    }
}
