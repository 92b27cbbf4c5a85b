//! Chance from a seed, the same on every machine.

/// SplitMix64, by its published constants: small, and good enough to choose what to try.
///
/// Source: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators",
/// OOPSLA 2014, figure 10 (constants from memory, checked against the reference values below).
#[derive(Clone, Debug)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `end`, 0 when that is 0.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        let end = end as u64;
        usize::try_from(self.next().checked_rem(end).unwrap_or(0)).unwrap_or(0)
    }

    /// A number from 0 to 1.
    pub(crate) fn unit(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
        let bits = (self.next() >> 11) as f64;
        bits / 9_007_199_254_740_992.0
    }
}

#[cfg(test)]
mod tests {
    use super::Random;

    /// Expected: the first outputs for seed 1234567, as given in widely used test vectors of
    /// SplitMix64 (from memory).
    #[test]
    fn the_first_numbers_are_the_published_ones() {
        let mut random = Random::new(1_234_567);
        assert_eq!(random.next(), 6_457_827_717_110_365_317);
        assert_eq!(random.next(), 3_203_168_211_198_807_973);
    }
}
