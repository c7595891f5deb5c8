//! A product rate as typed: per area or per carrier, whichever the unit says. Choosing a rate is not done here.

use units::{
    ParseProblem, Typed, Unit, VolumePerArea, VolumePerAreaUnit, VolumePerCarrier, VolumePerCarrierUnit,
    parse,
};

use crate::fields::FieldProblem;

/// Product per area of ground, or per volume of carrier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProductRate {
    /// Per area, e.g. `64 fl oz/ac`.
    PerArea(Typed<VolumePerArea>),
    /// Per carrier, e.g. `1 % v/v`.
    PerCarrier(Typed<VolumePerCarrier>),
}

impl ProductRate {
    /// Reads typed text. The typed unit decides; without one the unit beside the box does.
    ///
    /// # Errors
    /// [`FieldProblem::UnitCode`] where `beside` is no unit of either kind, else [`FieldProblem::Parse`].
    ///
    /// ```
    /// # use records::ProductRate;
    /// // By hand: 128 fl oz per 100 gal is 1 gal per 100 gal, 1 %.
    /// let ProductRate::PerCarrier(rate) = ProductRate::parse("128 fl oz/100 gal", Some("us_fl_oz_per_ac"))? else {
    ///     unreachable!()
    /// };
    /// assert!((rate.value.as_percent() - 1.0).abs() < 1e-12);
    /// # Ok::<(), records::fields::FieldProblem>(())
    /// ```
    pub fn parse(text: &str, beside: Option<&str>) -> Result<Self, FieldProblem> {
        let per_area = beside.and_then(VolumePerAreaUnit::from_code);
        let per_carrier = beside.and_then(VolumePerCarrierUnit::from_code);
        if let (Some(code), None, None) = (beside, per_area, per_carrier) {
            return Err(FieldProblem::UnitCode { found: code.to_owned() });
        }
        let area = || parse::<VolumePerArea>(text, per_area).map(Self::PerArea);
        let carrier = || parse::<VolumePerCarrier>(text, per_carrier).map(Self::PerCarrier);
        // The other kind is tried only where the typed unit is foreign to the first.
        let foreign =
            |first: Result<Self, ParseProblem>, other: &dyn Fn() -> Result<Self, ParseProblem>| match first {
                Err(ParseProblem::UnknownUnit { .. }) => other().or(first),
                _ => first,
            };
        let read = if per_carrier.is_some() { foreign(carrier(), &area) } else { foreign(area(), &carrier) };
        Ok(read?)
    }

    /// Code of the unit that was typed or stood beside the box.
    #[must_use]
    pub fn unit_code(&self) -> &'static str {
        match self {
            Self::PerArea(typed) => typed.unit.code(),
            Self::PerCarrier(typed) => typed.unit.code(),
        }
    }
}
