//! Viscosities of carriers. Dynamic ones only: the kinematic viscosity needs a density and is not kept here.

use crate::quantity::quantity;

quantity! {
    /// Dynamic viscosity. Kept in Pa·s.
    ///
    /// ```
    /// # use units::Viscosity;
    /// // Definition: 1 centipoise is 1 mPa·s (NIST SP 811, B.8).
    /// assert!((Viscosity::from_mpa_s(1.002).as_pa_s() - 0.001002).abs() < 1e-15);
    /// ```
    Viscosity,
    /// Units of [`Viscosity`].
    ViscosityUnit;
    MillipascalSecond("mpa_s", "mPa·s", 0.001, ["mpas", "mpa s", "cp", "centipoise"], from_mpa_s, as_mpa_s);
    PascalSecond("pa_s", "Pa·s", 1.0, ["pas", "pa s"], from_pa_s, as_pa_s);
}
