//! What a handful of readings says: median, spread about it, odd ones out.

/// The factor that makes the median absolute deviation comparable with a
/// standard deviation of normal readings: Φ⁻¹(0.75).
pub const MAD_FACTOR: f64 = 0.6745;

/// A modified z beyond this is odd (Iglewicz and Hoaglin, How to detect and
/// handle outliers, ASQC 1993; value from memory).
pub const ODD_Z: f64 = 3.5;

/// The median; not a number when there are no readings.
pub fn median(readings: &[f64]) -> f64 {
    let mut sorted = readings.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    match sorted.len() {
        0 => f64::NAN,
        n if n % 2 == 1 => sorted[middle],
        _ => 0.5 * (sorted[middle - 1] + sorted[middle]),
    }
}

/// The median absolute deviation from the median.
pub fn median_deviation(readings: &[f64]) -> f64 {
    let centre = median(readings);
    let deviations: Vec<f64> = readings.iter().map(|x| (x - centre).abs()).collect();
    median(&deviations)
}

/// The means of readings taken together, a column for each quantity, with the
/// covariance between the means: s(x, y)/n with n − 1 below
/// (JCGM 100:2008, 5.2.3). The degrees of freedom are n − 1.
///
/// Columns are read up to the shortest; with fewer than two readings the
/// covariance is not a number.
pub fn means_with_covariance(columns: &[&[f64]]) -> (Vec<f64>, Vec<Vec<f64>>) {
    let count = columns.iter().map(|c| c.len()).min().unwrap_or(0);
    let n = count as f64;
    let means: Vec<f64> = columns
        .iter()
        .map(|c| c[..count].iter().sum::<f64>() / n)
        .collect();
    let between = |i: usize, j: usize| {
        let pairs = columns[i][..count].iter().zip(&columns[j][..count]);
        pairs
            .map(|(x, y)| (x - means[i]) * (y - means[j]))
            .sum::<f64>()
            / (n * (n - 1.0))
    };
    let covariance = (0..columns.len())
        .map(|i| (0..columns.len()).map(|j| between(i, j)).collect())
        .collect();
    (means, covariance)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_is_in_the_middle() {
        assert_eq!(median(&[3.0, 1.0, 2.0]), 2.0);
        assert_eq!(median(&[4.0, 1.0, 2.0, 3.0]), 2.5);
        assert!(median(&[]).is_nan());
    }

    #[test]
    fn one_wild_reading_hardly_moves_the_deviation() {
        assert_eq!(median_deviation(&[1.0, 2.0, 3.0, 4.0, 100.0]), 1.0);
    }
}
