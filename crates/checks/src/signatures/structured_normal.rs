//! A normal distribution whose covariance is a diagonal plus a few shared effects.

/// Covariance D + Σ v_k v_kᵀ, inverted one effect after the other.
#[derive(Debug, Clone)]
pub(crate) struct StructuredNormal {
    inverse_diagonal: Vec<f64>,
    /// The inverse is diag(1/D) - Σ q_k q_kᵀ.
    removed: Vec<Vec<f64>>,
    log_determinant: f64,
}

impl StructuredNormal {
    /// A covariance from its diagonal (above 0) and its effects, each as long as the diagonal.
    ///
    /// # Formula
    /// ```text
    /// (A + v vᵀ)⁻¹ = A⁻¹ - q qᵀ,   q = A⁻¹v / √(1 + vᵀA⁻¹v),   det(A + v vᵀ) = det A · (1 + vᵀA⁻¹v)
    /// ```
    ///
    /// # Source
    /// Sherman and Morrison, Ann. Math. Stat. 21 (1950) 124; the determinant is the matrix
    /// determinant lemma (from memory)
    pub(crate) fn new(diagonal: &[f64], effects: &[Vec<f64>]) -> Self {
        let mut normal = Self {
            inverse_diagonal: diagonal.iter().map(|variance| 1.0 / variance).collect(),
            removed: vec![],
            log_determinant: diagonal.iter().map(|variance| variance.ln()).sum(),
        };
        for effect in effects {
            let solved = normal.solve(effect);
            let grown = 1.0 + dot(effect, &solved);
            normal.log_determinant += grown.ln();
            normal
                .removed
                .push(solved.iter().map(|value| value / grown.sqrt()).collect());
        }
        normal
    }

    /// Σ⁻¹ y.
    fn solve(&self, y: &[f64]) -> Vec<f64> {
        let mut solved: Vec<f64> = y
            .iter()
            .zip(&self.inverse_diagonal)
            .map(|(y, w)| y * w)
            .collect();
        for q in &self.removed {
            let along = dot(q, y);
            for (value, q) in solved.iter_mut().zip(q) {
                *value -= along * q;
            }
        }
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

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::StructuredNormal;

    #[test]
    fn two_by_two_agrees_with_the_textbook_inverse() {
        // [[2+1, 1], [1, 3+1]]: determinant 11, inverse [[4, -1], [-1, 3]] / 11.
        let normal = StructuredNormal::new(&[2.0, 3.0], &[vec![1.0, 1.0]]);
        assert!((normal.log_determinant() - 11.0_f64.ln()).abs() < 1e-12);
        assert!((normal.product(&[1.0, 0.0], &[1.0, 0.0]) - 4.0 / 11.0).abs() < 1e-12);
        assert!((normal.product(&[1.0, 0.0], &[0.0, 1.0]) + 1.0 / 11.0).abs() < 1e-12);
    }

    #[test]
    fn a_second_effect_is_added_to_the_first() {
        // [[1+1, 1], [1, 1+1+4]]: determinant 11, inverse [[6, -1], [-1, 2]] / 11.
        let normal = StructuredNormal::new(&[1.0, 1.0], &[vec![1.0, 1.0], vec![0.0, 2.0]]);
        assert!((normal.log_determinant() - 11.0_f64.ln()).abs() < 1e-12);
        assert!((normal.product(&[0.0, 1.0], &[0.0, 1.0]) - 2.0 / 11.0).abs() < 1e-12);
    }
}
