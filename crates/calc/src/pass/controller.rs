//! First-order lag with exact means: what an actuator does while its target changes in a straight line.

/// An actuator that nears its target with a time constant.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lagged {
    pub(super) value: f64,
    pub(super) tau_s: f64,
}

impl Lagged {
    /// Goes on for `dt_s` while the target runs from `from` to `to`; returns the mean of the value over that time.
    ///
    /// `y′ = (u − y)/τ` with `u = from + g t`: `y = u − g τ + (y₀ − from + g τ) exp(−t/τ)`; the mean is its integral over
    /// time. Exact, so that volumes do not depend on how time is cut.
    pub(super) fn advance(&mut self, dt_s: f64, from: f64, to: f64) -> f64 {
        let tau_s = self.tau_s;
        // Below this the exponential is gone within rounding of the piece.
        if tau_s <= 1e-6 * dt_s {
            self.value = to;
            return 0.5 * (from + to);
        }
        let rise = (to - from) / dt_s * tau_s;
        let away = self.value - from + rise;
        let fallen = -(-dt_s / tau_s).exp_m1();
        self.value = to - rise + away * (1.0 - fallen);
        (0.5 * (from + to) - rise + away * tau_s / dt_s * fallen).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::Lagged;

    /// By hand: a step from 0 to 1, after one time constant 1 − 1/e; mean 1 − (1 − 1/e) = 1/e.
    #[test]
    fn a_step_by_hand() {
        let mut lagged = Lagged { value: 0.0, tau_s: 2.0 };
        let mean = lagged.advance(2.0, 1.0, 1.0);
        let e = std::f64::consts::E;
        assert!((lagged.value - (1.0 - 1.0 / e)).abs() < 1e-15 && (mean - 1.0 / e).abs() < 1e-15);
    }

    /// A second method: many small explicit steps.
    #[test]
    fn a_ramp_as_by_small_steps() {
        let (mut y, mut sum, dt) = (0.3, 0.0, 1e-5);
        for step in 0..400_000 {
            let u = 1.0 + 0.5 * (f64::from(step) + 0.5) * dt;
            let next = y + (u - y) / 1.5 * dt;
            sum += 0.5 * (y + next) * dt;
            y = next;
        }
        let mut lagged = Lagged { value: 0.3, tau_s: 1.5 };
        let mean = lagged.advance(4.0, 1.0, 3.0);
        assert!((lagged.value - y).abs() < 1e-5 && (mean - sum / 4.0).abs() < 1e-5);
    }

    /// However it is cut, the end and the mean are the same.
    #[test]
    fn cutting_changes_nothing() {
        let mut whole = Lagged { value: 2.0, tau_s: 0.7 };
        let mean = whole.advance(3.0, 1.0, 4.0);
        let mut cut = Lagged { value: 2.0, tau_s: 0.7 };
        let parts = [0.4, 1.1, 1.5];
        let (mut at, mut sum) = (0.0, 0.0);
        for part in parts {
            sum += part * cut.advance(part, 1.0 + at, 1.0 + at + part);
            at += part;
        }
        assert!((cut.value - whole.value).abs() < 1e-14 && (sum / 3.0 - mean).abs() < 1e-14);
        let mut direct = Lagged { value: 9.0, tau_s: 0.0 };
        assert_eq!(direct.advance(1.0, 2.0, 3.0), 2.5);
        assert_eq!(direct.value, 3.0);
    }
}
