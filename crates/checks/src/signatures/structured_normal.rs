//! A normal distribution whose covariance is a diagonal plus a few shared effects.

/// Covariance D + Σ v_k v_kᵀ, inverted one effect after the other.
#[derive(Debug, Clone)]
pub(crate) struct StructuredNormal {
    inverse_diagonal: Vec<f64>,
    /// The inverse is diag(1/D) - Σ q_k q_kᵀ; the q one after the other.
    removed: Vec<f64>,
    log_determinant: f64,
}

impl StructuredNormal {
    /// A diagonal covariance, from variances above 0, to which so many effects will be added.
    pub(crate) fn new(variances: impl ExactSizeIterator<Item = f64>, effects: usize) -> Self {
        let mut log_determinant = 0.0;
        let size = variances.len();
        let mut inverse_diagonal = Vec::with_capacity(size);
        for variance in variances {
            log_determinant += variance.ln();
            inverse_diagonal.push(1.0 / variance);
        }
        Self {
            inverse_diagonal,
            removed: Vec::with_capacity(size * effects),
            log_determinant,
        }
    }

    /// Adds an effect, as long as the diagonal.
    ///
    /// # Formula
    /// ```text
    /// (A + v vᵀ)⁻¹ = A⁻¹ - q qᵀ,   q = A⁻¹v / √(1 + vᵀA⁻¹v),   det(A + v vᵀ) = det A · (1 + vᵀA⁻¹v)
    /// ```
    ///
    /// # Source
    /// Sherman and Morrison, Ann. Math. Stat. 21 (1950) 124; the determinant is the matrix
    /// determinant lemma (from memory)
    pub(crate) fn add(&mut self, effect: &[f64]) {
        let start = self.removed.len();
        self.removed.extend(
            effect
                .iter()
                .zip(&self.inverse_diagonal)
                .map(|(y, w)| y * w),
        );
        let (before, solved) = self.removed.split_at_mut(start);
        take_off(before, effect, solved);
        let grown = 1.0 + dot(effect, solved);
        self.log_determinant += grown.ln();
        let root = grown.sqrt();
        for value in solved {
            *value /= root;
        }
    }

    /// Σ⁻¹ y.
    pub(crate) fn solve(&self, y: &[f64]) -> Vec<f64> {
        let scaled = y.iter().zip(&self.inverse_diagonal).map(|(y, w)| y * w);
        let mut solved: Vec<f64> = scaled.collect();
        take_off(&self.removed, y, &mut solved);
        solved
    }

    /// xᵀ Σ⁻¹ y.
    pub(crate) fn product(&self, x: &[f64], y: &[f64]) -> f64 {
        dot(x, &self.solve(y))
    }

    pub(crate) fn log_determinant(&self) -> f64 {
        self.log_determinant
    }
}

/// Takes what the effects removed from the inverse off `solved`.
fn take_off(removed: &[f64], y: &[f64], solved: &mut [f64]) {
    for q in removed.chunks_exact(y.len().max(1)) {
        let along = dot(q, y);
        for (value, q) in solved.iter_mut().zip(q) {
            *value -= along * q;
        }
    }
}

pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::StructuredNormal;

    #[test]
    fn two_by_two_agrees_with_the_textbook_inverse() {
        // [[2+1, 1], [1, 3+1]]: determinant 11, inverse [[4, -1], [-1, 3]] / 11.
        let mut normal = StructuredNormal::new([2.0, 3.0].into_iter(), 1);
        normal.add(&[1.0, 1.0]);
        assert!((normal.log_determinant() - 11.0_f64.ln()).abs() < 1e-12);
        assert!((normal.product(&[1.0, 0.0], &[1.0, 0.0]) - 4.0 / 11.0).abs() < 1e-12);
        assert!((normal.product(&[1.0, 0.0], &[0.0, 1.0]) + 1.0 / 11.0).abs() < 1e-12);
    }

    #[test]
    fn a_second_effect_is_added_to_the_first() {
        // [[1+1, 1], [1, 1+1+4]]: determinant 11, inverse [[6, -1], [-1, 2]] / 11.
        let mut normal = StructuredNormal::new([1.0, 1.0].into_iter(), 2);
        normal.add(&[1.0, 1.0]);
        normal.add(&[0.0, 2.0]);
        assert!((normal.log_determinant() - 11.0_f64.ln()).abs() < 1e-12);
        assert!((normal.product(&[0.0, 1.0], &[0.0, 1.0]) - 2.0 / 11.0).abs() < 1e-12);
    }
}
