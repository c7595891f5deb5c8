//! Exact definitions from which every factor of this crate is a product. No rounded decimals live here or elsewhere.
//!
//! Sources: the inch, the pound, the US gallon and the acre from NIST Handbook 44 (2023) Appendix C and NIST SP 811
//! Appendix B; the imperial gallon from the UK Weights and Measures Act 1985, Schedule 1; standard gravity from the
//! 3rd CGPM (1901). The acre is the international one (43 560 international ft²), in force in the US since 2023.

pub(crate) const M_PER_INCH: f64 = 0.0254;
pub(crate) const M_PER_FOOT: f64 = 12.0 * M_PER_INCH;
pub(crate) const M_PER_YARD: f64 = 3.0 * M_PER_FOOT;
pub(crate) const M_PER_MILE: f64 = 5280.0 * M_PER_FOOT;
pub(crate) const M2_PER_SQUARE_FOOT: f64 = M_PER_FOOT * M_PER_FOOT;
pub(crate) const M2_PER_ACRE: f64 = 43_560.0 * M2_PER_SQUARE_FOOT;
pub(crate) const M2_PER_HECTARE: f64 = 10_000.0;
pub(crate) const M3_PER_L: f64 = 0.001;
pub(crate) const M3_PER_ML: f64 = 0.000_001;
pub(crate) const M3_PER_US_GALLON: f64 = 231.0 * M_PER_INCH * M_PER_INCH * M_PER_INCH;
pub(crate) const M3_PER_US_QUART: f64 = M3_PER_US_GALLON / 4.0;
pub(crate) const M3_PER_US_PINT: f64 = M3_PER_US_GALLON / 8.0;
pub(crate) const M3_PER_US_FLUID_OUNCE: f64 = M3_PER_US_GALLON / 128.0;
pub(crate) const M3_PER_IMPERIAL_GALLON: f64 = 4.54609 * M3_PER_L;
pub(crate) const M3_PER_IMPERIAL_QUART: f64 = M3_PER_IMPERIAL_GALLON / 4.0;
pub(crate) const M3_PER_IMPERIAL_PINT: f64 = M3_PER_IMPERIAL_GALLON / 8.0;
pub(crate) const M3_PER_IMPERIAL_FLUID_OUNCE: f64 = M3_PER_IMPERIAL_GALLON / 160.0;
pub(crate) const KG_PER_POUND: f64 = 0.453_592_37;
pub(crate) const KG_PER_OUNCE: f64 = KG_PER_POUND / 16.0;
pub(crate) const M_PER_S2_STANDARD_GRAVITY: f64 = 9.806_65;
pub(crate) const PA_PER_PSI: f64 = KG_PER_POUND * M_PER_S2_STANDARD_GRAVITY / (M_PER_INCH * M_PER_INCH);
pub(crate) const S_PER_MINUTE: f64 = 60.0;
pub(crate) const S_PER_HOUR: f64 = 3600.0;
