//! The inverse of a small symmetric matrix, by Cholesky's decomposition.

/// A square matrix, row by row.
pub(super) type Matrix = Vec<Vec<f64>>;

/// The inverse of a symmetric matrix; `None` unless it is positive definite.
pub(super) fn inverse(matrix: &Matrix) -> Option<Matrix> {
    let lower = cholesky(matrix)?;
    // Column c of the inverse of the lower triangle, from its own place on: before that are zeros.
    let mut columns: Matrix = Vec::with_capacity(lower.len());
    for column in 0..lower.len() {
        let mut solved: Vec<f64> = Vec::with_capacity(lower.len() - column);
        for row in lower.iter().skip(column) {
            let unit = if solved.is_empty() { 1.0 } else { 0.0 };
            let known = product(row.get(column..)?, &solved);
            solved.push((unit - known) / row.last().copied().unwrap_or(1.0));
        }
        columns.push(solved);
    }
    // The whole inverse is all products of two columns.
    let mut found: Matrix = Vec::with_capacity(columns.len());
    for (index, own) in columns.iter().enumerate() {
        let left = found.iter().filter_map(|row| row.get(index)).copied();
        let mut row: Vec<f64> = left.collect();
        for (further, other) in columns.iter().skip(index).enumerate() {
            row.push(product(own.get(further..)?, other));
        }
        found.push(row);
    }
    Some(found)
}

/// The lower triangle whose product with its own transpose is the matrix; each row ends on the diagonal.
fn cholesky(matrix: &Matrix) -> Option<Matrix> {
    let mut lower: Matrix = Vec::with_capacity(matrix.len());
    for (index, source) in matrix.iter().enumerate() {
        let mut row: Vec<f64> = Vec::with_capacity(index + 1);
        for (earlier, value) in lower.iter().zip(source) {
            row.push((value - product(&row, earlier)) / earlier.last()?);
        }
        let whole = *source.get(index)?;
        let left = whole - product(&row, &row);
        // What is left of the diagonal by rounding alone is no pivot.
        if !left.is_finite() || left <= whole * 1e-13 {
            return None;
        }
        row.push(left.sqrt());
        lower.push(row);
    }
    Some(lower)
}

/// The sum of products, as far as the shorter of the two goes.
pub(super) fn product(one: &[f64], other: &[f64]) -> f64 {
    one.iter()
        .zip(other)
        .map(|(left, right)| left * right)
        .sum()
}

/// Adds to the sum at a place.
pub(super) fn add<T: std::ops::AddAssign>(sums: &mut [T], place: usize, value: T) {
    if let Some(sum) = sums.get_mut(place) {
        *sum += value;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_two_by_two_inverse_is_done_in_the_head() {
        let found = inverse(&vec![vec![4.0, 2.0], vec![2.0, 3.0]]).unwrap();
        for (row, expected) in found.iter().zip([[0.375, -0.25], [-0.25, 0.5]]) {
            assert!(
                row.iter()
                    .zip(expected)
                    .all(|(found, value)| (found - value).abs() < 1e-12)
            );
        }
    }

    #[test]
    fn a_matrix_without_an_inverse_has_none() {
        assert_eq!(inverse(&vec![vec![1.0, 1.0], vec![1.0, 1.0]]), None);
        assert_eq!(inverse(&vec![vec![f64::NAN]]), None);
        assert_eq!(inverse(&vec![vec![0.0]]), None);
    }
}
