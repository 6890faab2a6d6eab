//! A small dense simplex method: the continuous part of one discrete choice, some tens of columns.

const ZERO: f64 = 1e-9;
const STEPS: usize = 5_000;

/// How a row compares its sum with its right side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// At most.
    Most,
    /// At least.
    Least,
    /// Equal.
    Equal,
}

/// A sum of columns times coefficients.
pub type Terms = Vec<(usize, f64)>;

/// A linear program to maximise, all columns at least zero.
#[derive(Clone, Debug, Default)]
pub struct Linear {
    /// Objective coefficients.
    pub earn: Vec<f64>,
    rows: Vec<(Terms, Sense, f64)>,
}

impl Linear {
    /// Adds a column and returns its position.
    pub fn column(&mut self, earn: f64) -> usize {
        self.earn.push(earn);
        self.earn.len() - 1
    }

    /// Adds a row.
    pub fn row(&mut self, terms: Terms, sense: Sense, right: f64) {
        self.rows.push((terms, sense, right));
    }

    /// The optimum and the values of the columns; none if no values meet the rows.
    #[must_use]
    pub fn solve(&self) -> Option<(f64, Vec<f64>)> {
        let mut tableau = Tableau::new(self);
        tableau.first_phase()?;
        tableau.maximise(&self.earn)?;
        let values = tableau.values(self.earn.len());
        Some((values.iter().zip(&self.earn).map(|(value, earn)| value * earn).sum(), values))
    }
}

struct Tableau {
    rows: Vec<Vec<f64>>,
    right: Vec<f64>,
    basis: Vec<usize>,
    /// First artificial column; those behind it are artificial too.
    artificial: usize,
}

impl Tableau {
    fn new(linear: &Linear) -> Self {
        let columns = linear.earn.len();
        let slacks = linear.rows.iter().filter(|row| row.1 != Sense::Equal).count();
        let artificial = columns + slacks;
        let width = artificial + linear.rows.len();
        let mut tableau = Self { rows: Vec::new(), right: Vec::new(), basis: Vec::new(), artificial };
        let mut slack = columns;
        for (index, (terms, sense, right)) in linear.rows.iter().enumerate() {
            let mut row = vec![0.0; width];
            for &(column, coefficient) in terms {
                row[column] += coefficient;
            }
            let sign = if *right < 0.0 { -1.0 } else { 1.0 };
            let mut basic = artificial + index;
            if *sense != Sense::Equal {
                row[slack] = if *sense == Sense::Most { 1.0 } else { -1.0 };
                if row[slack] * sign > 0.0 {
                    basic = slack;
                }
                slack += 1;
            }
            for value in &mut row {
                *value *= sign;
            }
            if basic >= artificial {
                row[basic] = 1.0;
            }
            tableau.rows.push(row);
            tableau.right.push(right * sign);
            tableau.basis.push(basic);
        }
        tableau
    }

    fn first_phase(&mut self) -> Option<()> {
        if self.basis.iter().all(|&basic| basic < self.artificial) {
            return Some(());
        }
        let width = self.artificial + self.rows.len();
        let earn: Vec<f64> =
            (0..width).map(|column| if column < self.artificial { 0.0 } else { -1.0 }).collect();
        self.maximise(&earn)?;
        let missing: f64 = self
            .basis
            .iter()
            .zip(&self.right)
            .filter(|(basic, _)| **basic >= self.artificial)
            .map(|pair| *pair.1)
            .sum();
        if missing > 1e-7 {
            return None;
        }
        for row in 0..self.rows.len() {
            if self.basis[row] >= self.artificial {
                let found = (0..self.artificial).find(|&column| self.rows[row][column].abs() > 1e-7);
                if let Some(column) = found {
                    self.pivot(row, column);
                }
            }
        }
        Some(())
    }

    /// Maximises from a feasible basis; none where the objective has no bound or the steps run out.
    fn maximise(&mut self, earn: &[f64]) -> Option<()> {
        let price = |column: usize| earn.get(column).copied().unwrap_or(0.0);
        let first_phase = earn.len() > self.artificial;
        let candidates = if first_phase { earn.len() } else { self.artificial };
        let mut reduced: Vec<f64> = (0..candidates)
            .map(|column| {
                let used: f64 =
                    self.basis.iter().zip(&self.rows).map(|(&basic, row)| price(basic) * row[column]).sum();
                price(column) - used
            })
            .collect();
        for step in 0..STEPS {
            let entering = if step < STEPS / 2 {
                let best = (0..candidates).max_by(|&one, &other| reduced[one].total_cmp(&reduced[other]));
                best.filter(|&column| reduced[column] > 1e-7)
            } else {
                (0..candidates).find(|&column| reduced[column] > 1e-7)
            };
            let Some(entering) = entering else {
                return Some(());
            };
            let mut leaving: Option<usize> = None;
            for row in 0..self.rows.len() {
                if self.rows[row][entering] > ZERO {
                    let ratio = self.right[row] / self.rows[row][entering];
                    let better = leaving.is_none_or(|best| {
                        let least = self.right[best] / self.rows[best][entering];
                        ratio < least - 1e-12
                            || (ratio <= least + 1e-12 && self.basis[row] < self.basis[best])
                    });
                    if better {
                        leaving = Some(row);
                    }
                }
            }
            let row = leaving?;
            self.pivot(row, entering);
            let factor = reduced[entering];
            for (column, value) in reduced.iter_mut().enumerate() {
                *value -= factor * self.rows[row][column];
            }
        }
        None
    }

    fn pivot(&mut self, row: usize, column: usize) {
        let divisor = self.rows[row][column];
        for value in &mut self.rows[row] {
            *value /= divisor;
        }
        self.right[row] /= divisor;
        let pivot_row = self.rows[row].clone();
        let pivot_right = self.right[row];
        for other in 0..self.rows.len() {
            let factor = self.rows[other][column];
            if other != row && factor != 0.0 {
                for (value, pivot) in self.rows[other].iter_mut().zip(&pivot_row) {
                    *value -= factor * pivot;
                }
                self.right[other] = (self.right[other] - factor * pivot_right).max(0.0);
            }
        }
        self.basis[row] = column;
    }

    fn values(&self, columns: usize) -> Vec<f64> {
        let mut values = vec![0.0; columns];
        for (&basic, &right) in self.basis.iter().zip(&self.right) {
            if basic < columns {
                values[basic] = right;
            }
        }
        values
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_products_on_two_machines() {
        // max 3x + 5y; x <= 4; 2y <= 12; 3x + 2y <= 18: the textbook optimum 36 at (2, 6) (from memory).
        let mut linear = Linear::default();
        let (x, y) = (linear.column(3.0), linear.column(5.0));
        linear.row(vec![(x, 1.0)], Sense::Most, 4.0);
        linear.row(vec![(y, 2.0)], Sense::Most, 12.0);
        linear.row(vec![(x, 3.0), (y, 2.0)], Sense::Most, 18.0);
        let (best, values) = linear.solve().expect("it has an optimum");
        assert!((best - 36.0).abs() < 1e-9 && (values[x] - 2.0).abs() < 1e-9);
    }

    #[test]
    fn equalities_and_least_rows() {
        // min x + 2y with x + y = 10, y >= 3.
        let mut linear = Linear::default();
        let (x, y) = (linear.column(-1.0), linear.column(-2.0));
        linear.row(vec![(x, 1.0), (y, 1.0)], Sense::Equal, 10.0);
        linear.row(vec![(y, 1.0)], Sense::Least, 3.0);
        let (best, _) = linear.solve().expect("it has an optimum");
        assert!((best + 13.0).abs() < 1e-9);
        linear.row(vec![(x, 1.0)], Sense::Most, 6.0);
        linear.row(vec![(y, 1.0)], Sense::Most, 3.5);
        assert!(linear.solve().is_none());
    }
}
