//! Labels that would lie on each other moved apart.

/// Places at least `gap` apart and inside `limits`, in the order given (which must be rising), as
/// near to the wanted ones as moving down first and then up allows. Where there are too many for
/// the room, the limits give way at the lower end of the numbers.
pub(crate) fn spread(wanted: &[f64], gap: f64, limits: (f64, f64)) -> Vec<f64> {
    // Runs of labels that touch share their displacement: each run sits at the mean of what its
    // members want, which is the least-squares place.
    let mut runs: Vec<(f64, usize)> = Vec::new();
    for &place in wanted {
        runs.push((place, 1));
        while let [.., (upper, m), (lower, n)] = runs[..] {
            let (reach, span) = (half_span(m, gap), half_span(n, gap));
            if upper + reach + gap <= lower - span {
                break;
            }
            let (weight, more) = (as_float(m), as_float(n));
            // Both means are of the wanted places with the members' offsets taken off.
            let left = upper - reach;
            let right = lower - span;
            let start = (left * weight + (right - weight * gap) * more) / (weight + more);
            runs.truncate(runs.len() - 2);
            runs.push((start + half_span(m + n, gap), m + n));
        }
    }
    let mut places: Vec<f64> = Vec::with_capacity(wanted.len());
    for (middle, n) in runs {
        let start = middle - half_span(n, gap);
        places.extend((0..n).map(|index| start + gap * as_float(index)));
    }
    fit(&mut places, gap, limits);
    places
}

/// Pushes places that lie outside back in.
fn fit(places: &mut [f64], gap: f64, (low, high): (f64, f64)) {
    let mut least = low;
    for place in places.iter_mut() {
        *place = place.max(least);
        least = *place + gap;
    }
    let mut most = high;
    for place in places.iter_mut().rev() {
        *place = place.min(most);
        most = *place - gap;
    }
}

fn half_span(n: usize, gap: f64) -> f64 {
    gap * (as_float(n) - 1.0) / 2.0
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a drawing has far fewer labels than 2^52"
)]
fn as_float(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    use super::spread;

    const WIDE: (f64, f64) = (-1000.0, 1000.0);

    #[test]
    fn labels_that_have_room_stay() {
        assert_eq!(spread(&[10.0, 40.0, 80.0], 20.0, WIDE), [10.0, 40.0, 80.0]);
    }

    #[test]
    fn a_pair_moves_apart_evenly() {
        assert_eq!(spread(&[50.0, 50.0], 20.0, WIDE), [40.0, 60.0]);
    }

    #[test]
    fn a_run_takes_in_its_neighbour() {
        let places = spread(&[50.0, 52.0, 61.0], 10.0, WIDE);
        assert!(
            places
                .windows(2)
                .all(|pair| pair[1] - pair[0] >= 10.0 - 1e-9),
            "{places:?}"
        );
        let mean: f64 = places.iter().sum::<f64>() / 3.0;
        assert!((mean - 163.0 / 3.0).abs() < 1e-9, "{places:?}");
    }

    #[test]
    fn limits_hold() {
        assert_eq!(spread(&[5.0, 5.0], 20.0, (0.0, 100.0)), [0.0, 20.0]);
        assert_eq!(spread(&[99.0, 99.0], 20.0, (0.0, 100.0)), [80.0, 100.0]);
    }
}
