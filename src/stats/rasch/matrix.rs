//! The inverse of a small symmetric matrix, by Cholesky's decomposition.

/// A square matrix, row by row.
pub(super) type Matrix = Vec<Vec<f64>>;

/// The inverse of a symmetric matrix; `None` unless it is positive definite.
pub(super) fn inverse(matrix: &Matrix) -> Option<Matrix> {
    let lower = cholesky(matrix)?;
    // Column c of the inverse of the lower triangle; the whole inverse is all products of two columns.
    let columns: Vec<Vec<f64>> = (0..lower.len())
        .map(|column| {
            let mut solved: Vec<f64> = Vec::with_capacity(lower.len());
            for (index, row) in lower.iter().enumerate() {
                let unit = if index == column { 1.0 } else { 0.0 };
                solved.push((unit - product(row, &solved)) / row.last().copied().unwrap_or(1.0));
            }
            solved
        })
        .collect();
    let products = |one: &Vec<f64>| columns.iter().map(|other| product(one, other)).collect();
    Some(columns.iter().map(products).collect())
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
