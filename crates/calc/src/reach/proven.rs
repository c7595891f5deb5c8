//! How well the numbers behind a plan's limits are proven, and what that leaves open of a flow or a dose.
//!
//! Trials themselves are in [`crate::ratio_trial`] and its siblings; what is drawn of it is in [`super::window`] and
//! [`super::doses`].

use units::Share;

use super::plan::Problem;
use crate::student_t::two_sided;
use crate::uncertainty::CONFIDENCE;

/// What trials say of the numbers behind a plan, `None` where a number is taken as it stands.
///
/// | number        | true over said                                  | opens                                            |
/// |---------------|-------------------------------------------------|--------------------------------------------------|
/// | `meter`       | carrier flow over the flow shown                | nozzles, meter, supply pump                      |
/// | `course`      | speed over the speed shown                      | top speed, doses on the ground                   |
/// | `nozzle_flow` | the nozzles' mean flow over their nominal one   | nozzles; with the carrier in manual every flow   |
/// | `supply`      | the supply pump's flow over the stated one      | supply pump                                      |
/// | `pumps`       | product flow over the flow shown                | that pump, its doses                             |
///
/// The course number moves no limit but the top speed: the axis is the speed that the console shows, which is what it
/// acts on.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Proven {
    /// The meter number.
    pub meter: Option<Proof>,
    /// The course number.
    pub course: Option<Proof>,
    /// The nozzles' mean flow at the rated pressure.
    pub nozzle_flow: Option<Proof>,
    /// The supply pump's measured flow.
    pub supply: Option<Proof>,
    /// Each pump number, in the rig's order. May be shorter than the list of pumps.
    pub pumps: Vec<Option<Proof>>,
}

/// What a trial says of one number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proof {
    /// True over said, less one, as the number stands in the rig now: zero where the proven number was keyed in, not
    /// where the old one was kept. Above −100 %.
    pub off: Share,
    /// Relative standard uncertainty of true over said, finite, ≥ 0.
    pub standard: Share,
    /// Its degrees of freedom, > 0; infinite where it is taken as known.
    pub dof: f64,
}

impl Proof {
    /// A proven number that was keyed in, its uncertainty taken as known.
    #[must_use]
    pub const fn known(standard: Share) -> Self {
        Self { off: Share::from_fraction(0.0), standard, dof: f64::INFINITY }
    }

    /// What a trial of a keyed-in number proves.
    ///
    /// | symbol       | meaning                                                    | range       |
    /// |--------------|------------------------------------------------------------|-------------|
    /// | `keyed`      | the number in the rig now, in the pulses-per-unit sense    | finite, > 0 |
    /// | `proven`     | the number that the trial found, in the same sense         | finite, > 0 |
    /// | `u`, `ν`     | relative standard uncertainty, its degrees of freedom      | ≥ 0, > 0    |
    ///
    /// True over said is `keyed / proven`: too many pulses per litre show too few litres. For a number kept as a spacing
    /// (cm per 1000 pulses) give the two the other way round.
    ///
    /// # Example
    /// By hand: 720 keyed in where a trial found 712.8: the true flow is 720 / 712.8 = 1.0101 times the one shown.
    /// ```
    /// # use calc::reach::proven::Proof;
    /// # use units::Share;
    /// let proof = Proof::of_number(720.0, 712.8, Share::from_percent(0.5), 2.0);
    /// assert!((proof.off.as_percent() - 1.010_101_010_1).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn of_number(keyed: f64, proven: f64, standard: Share, dof: f64) -> Self {
        Self { off: Share::from_fraction(keyed / proven - 1.0), standard, dof }
    }

    /// What a catch of the nozzles proves: `caught` mean flow against the `nominal` one, both at the same pressure.
    ///
    /// # Example
    /// By hand: 1.236 L/min where 1.2 is nominal is 3 % more.
    /// ```
    /// # use calc::reach::proven::Proof;
    /// # use units::{FlowRate, Share};
    /// let l = FlowRate::from_l_per_min;
    /// let proof = Proof::of_flow(l(1.236), l(1.2), Share::from_percent(0.4), f64::INFINITY);
    /// assert!((proof.off.as_percent() - 3.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn of_flow(caught: units::FlowRate, nominal: units::FlowRate, standard: Share, dof: f64) -> Self {
        Self { off: Share::from_fraction(caught.as_m3_per_s() / nominal.as_m3_per_s() - 1.0), standard, dof }
    }

    /// What an expanded uncertainty of 95 % says where its degrees of freedom are not kept: combined with others it counts
    /// a little too much rather than too little. `off` as in [`Self::off`], e.g. from [`Self::of_number`].
    ///
    /// # Example
    /// By hand: 290 proven and kept as 302 is 4.138 % off, with U = 1 %: u = 1 % ÷ 1.959964.
    /// ```
    /// # use calc::reach::proven::Proof;
    /// # use units::Share;
    /// let proof = Proof::from_expanded(Share::from_fraction(302.0 / 290.0 - 1.0), Share::from_percent(1.0));
    /// assert!((proof.standard.as_percent() - 1.0 / 1.959_963_984_5).abs() < 1e-9);
    /// ```
    #[must_use]
    pub const fn from_expanded(off: Share, expanded: Share) -> Self {
        // Half-width of 95 % of the normal distribution in standard deviations, as in any table.
        const K: f64 = 1.959_963_984_540_054;
        Self { off, standard: Share::from_fraction(expanded.as_fraction() / K), dof: f64::INFINITY }
    }

    fn is_sensible(&self) -> bool {
        let (off, u) = (self.off.as_fraction(), self.standard.as_fraction());
        let in_range = off.is_finite() && off > -1.0 && u.is_finite() && u >= 0.0;
        // Where nothing is left of the number at 95 %, it is not proven at all.
        in_range && two_sided(CONFIDENCE, self.dof).is_ok_and(|k| k * u < 1.0)
    }
}

/// The proofs that make sense; the others are named.
pub(super) fn sensible(proof: Option<Proof>, problems: &mut Vec<Problem>) -> Option<Proof> {
    let proof = proof?;
    if !proof.is_sensible() {
        problems.push(Problem::Uncertainty { got: proof.standard });
        return None;
    }
    Some(proof)
}

/// What a flow or a dose may be times, with about 95 %: `lo ≤ 1 ≤ hi`, since it counts as said until it is keyed in anew.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Factor {
    pub(super) lo: f64,
    pub(super) hi: f64,
}

impl Factor {
    pub(super) const ONE: Self = Self { lo: 1.0, hi: 1.0 };

    /// The product of some numbers over the product of others, each true over said.
    ///
    /// `c = Π(1 + off)` over the same of the others, `u_c² = Σ u²`, `ν_eff = u_c⁴ / Σ(u⁴/ν)`, then `c·(1 ± t·u_c)`, and 1
    /// itself where that lies outside.
    ///
    /// Source: JCGM 100:2008, 5.1.6 (relative uncertainties of a product), G.4.2, and F.2.4.5 for an error that stays
    /// uncorrected.
    pub(super) fn of(times: &[Option<Proof>], over: &[Option<Proof>]) -> Self {
        let (mut centre, mut variance, mut weighted) = (1.0, 0.0, 0.0);
        for (proofs, above) in [(times, true), (over, false)] {
            for proof in proofs.iter().flatten() {
                let ratio = 1.0 + proof.off.as_fraction();
                centre *= if above { ratio } else { 1.0 / ratio };
                let u_2 = proof.standard.as_fraction().powi(2);
                variance += u_2;
                weighted += u_2 * u_2 / proof.dof;
            }
        }
        let dof = if weighted > 0.0 { variance * variance / weighted } else { f64::INFINITY };
        let expanded = if variance > 0.0 {
            two_sided(CONFIDENCE, dof).map_or(f64::INFINITY, |k| k * variance.sqrt())
        } else {
            0.0
        };
        Self { lo: (centre * (1.0 - expanded)).clamp(0.0, 1.0), hi: (centre * (1.0 + expanded)).max(1.0) }
    }
}
