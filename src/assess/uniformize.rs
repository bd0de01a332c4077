//! Transition probabilities of a continuous-time Markov chain by uniformization (A. Jensen, 1953;
//! also called randomization): `exp(Q t)` as a Poisson mixture of powers of the stochastic matrix
//! `I + Q/rate`. Every term is positive, so nothing cancels and even tiny entries keep their
//! relative accuracy, whether rates are equal, nearly equal or far apart.

/// Largest expected number of jumps summed as one series. Longer times are halved until they fit
/// and the result squared as often, which keeps the Poisson weights far from underflow.
const SERIES_JUMPS: f64 = 16.0;

/// What is left out of a series, relative to its smallest entry.
const LEFT_OUT: f64 = 1e-18;

/// Beyond this many expected jumps every chain has long settled.
const MOST_JUMPS: f64 = 1e15;

/// A square matrix or, with fewer rows, a stack of distributions over `N` states.
type Rows<const R: usize, const N: usize> = [[f64; N]; R];

/// The distribution over states after `time`, for a chain that starts with distribution `start`
/// and moves with the intensities of `generator` (off the diagonal, per unit of time; the
/// diagonal is not read).
pub fn spread<const N: usize>(generator: &Rows<N, N>, start: &[f64; N], time: f64) -> [f64; N] {
    let (step, jumps) = uniform_step(generator, time);
    if jumps <= SERIES_JUMPS {
        let [row] = series(&step, [*start], jumps);
        return row;
    }
    let long = squared(&step, jumps);
    apply(start, &long)
}

/// The matrix of transition probabilities `exp(generator * time)`: row `i` is the distribution
/// after `time` for a start in state `i`.
pub fn transition<const N: usize>(generator: &Rows<N, N>, time: f64) -> Rows<N, N> {
    let (step, jumps) = uniform_step(generator, time);
    squared(&step, jumps)
}

/// The stochastic matrix of one jump at the largest rate, and the expected number of jumps.
fn uniform_step<const N: usize>(generator: &Rows<N, N>, time: f64) -> (Rows<N, N>, f64) {
    let leave = |i: usize| -> f64 { (0..N).filter(|j| *j != i).map(|j| generator[i][j]).sum() };
    let rate = (0..N).map(leave).fold(0.0, f64::max);
    let mut step = [[0.0; N]; N];
    for (i, row) in step.iter_mut().enumerate() {
        let mut moves = 0.0;
        for (j, entry) in row.iter_mut().enumerate() {
            if j != i && rate > 0.0 {
                *entry = generator[i][j] / rate;
                moves += *entry;
            }
        }
        row[i] = (1.0 - moves).max(0.0);
    }
    // A time that is no number passes as none.
    (step, (rate * time.max(0.0)).min(MOST_JUMPS))
}

/// `exp` of the whole matrix: one series over a short enough time, squared back up. Rows are
/// brought back to a sum of one each time, so rounding does not build up.
fn squared<const N: usize>(step: &Rows<N, N>, jumps: f64) -> Rows<N, N> {
    let mut halvings = 0;
    let mut short = jumps;
    while short > SERIES_JUMPS {
        short /= 2.0;
        halvings += 1;
    }
    let mut unit = [[0.0; N]; N];
    for (i, row) in unit.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    let mut result = series(step, unit, short).map(normalised);
    for _ in 0..halvings {
        result = result.map(|row| normalised(apply(&row, &result)));
    }
    result
}

/// The sum of `Poisson(k; jumps) * start * step^k` over k, summed until what remains cannot change
/// the smallest entry reached.
fn series<const R: usize, const N: usize>(
    step: &Rows<N, N>,
    start: Rows<R, N>,
    jumps: f64,
) -> Rows<R, N> {
    let mut term = start;
    let mut weight = (-jumps).exp();
    let mut sum = [[0.0; N]; R];
    let mut k = 0_u32;
    loop {
        for (total, row) in sum.iter_mut().zip(&term) {
            for (entry, part) in total.iter_mut().zip(row) {
                *entry += weight * part;
            }
        }
        // After N jumps every state that can be reached has been; past the mean the weights fall
        // at least geometrically.
        let fell = k as usize >= N && f64::from(k) > 2.0 * jumps && weight <= LEFT_OUT;
        if fell && weight <= LEFT_OUT * smallest(&sum) {
            return sum;
        }
        k += 1;
        weight *= jumps / f64::from(k);
        term = term.map(|row| apply(&row, step));
    }
}

/// Row vector times matrix.
fn apply<const N: usize>(row: &[f64; N], matrix: &Rows<N, N>) -> [f64; N] {
    let mut product = [0.0; N];
    for (share, line) in row.iter().zip(matrix) {
        for (entry, part) in product.iter_mut().zip(line) {
            *entry += share * part;
        }
    }
    product
}

fn normalised<const N: usize>(row: [f64; N]) -> [f64; N] {
    let total: f64 = row.iter().sum();
    row.map(|entry| entry / total)
}

/// The smallest entry above zero.
fn smallest<const R: usize, const N: usize>(rows: &Rows<R, N>) -> f64 {
    let positive = rows.iter().flatten().copied().filter(|p| *p > 0.0);
    positive.fold(1.0, f64::min)
}
