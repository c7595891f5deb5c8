//! Readings that do not add up: what the console showed and what was known to be true, in one or more runs. Which paths
//! there are; what they add up to is worked out elsewhere and not kept.
//!
//! | path                  | holds                                                                                  |
//! |-----------------------|----------------------------------------------------------------------------------------|
//! | `rig`, `from`, `note` | the rig, the trial that the readings came from, a free note                            |
//! | `run.<key>.motion`, `.carrier`, `.sections` | how the run was made: `standing` or `driving`, `regulated` or `manual`, numbers of the sections on |
//! | `run.<key>.use.N`, `run.<key>.presses.N`    | which rate of a pump was thought to be in force, and presses of its nudge  |
//! | `run.<key>.shown.…`   | what the console showed                                                                |
//! | `run.<key>.true.…`    | what a jug, a tape, a stopwatch or a gauge said                                        |
//! | `run.<key>.u.…`       | how far a reading may be off, as a share of it, 19 times in 20; else the usual        |
//! | `back.…`              | numbers read back from the console's set-up page, as it shows them                     |
//! | `outcome.…`           | plain text: what was done about it                                                     |
//!
//! Runs are those of a trial ([`crate::trial::TrialView::runs`]).

use units::{
    Area, Duration, FlowRate, Length, Pressure, Quantity, Share, Speed, Unit, Volume, VolumePerArea,
};

use crate::fields::Holds::{Choice, Number, Quantity as Typed_, Words};
use crate::fields::{
    FieldProblem, FieldSpec, Holds, Measure, Need, Texts, number, plain, product_rate, quantity, row,
};
use crate::product_rate::ProductRate;
use crate::value::FieldValue;

const LITRE: f64 = Volume::from_l(1.0).as_m3();
const LITRE_PER_MIN: f64 = FlowRate::from_l_per_min(1.0).as_m3_per_s();
const LITRE_PER_HA: f64 = Volume::from_l(1.0).as_m3() / Area::from_ha(1.0).as_m2();
const BAR: f64 = Pressure::from_bar(1.0).as_pa();
const FASTEST: f64 = Speed::from_mph(200.0).as_m_per_s();
const LONGEST: f64 = Length::from_km(1000.0).as_m();
const WIDEST: f64 = Length::from_km(1.0).as_m();
const LARGEST: f64 = Area::from_ha(100_000.0).as_m2();

const VOLUME: Holds = Typed_(Measure::Volume);
const LENGTH: Holds = Typed_(Measure::Length);
const FLOW: Holds = Typed_(Measure::FlowRate);
const AREA: Holds = Typed_(Measure::Area);
const SPEED: Holds = Typed_(Measure::Speed);

/// Every path with the believable range of its value. The ranges are wide: a reading that is off by a wrong unit is what
/// these records are for. What was read may be zero.
pub const FIELDS: &[FieldSpec] = &[
    plain("rig", Holds::Doc, Need::Yes),
    plain("from", Holds::Doc, Need::No),
    plain("removed", Words, Need::No),
    plain("note", Words, Need::No),
    plain("run.*.removed", Words, Need::No),
    plain("run.*.motion", Choice(&["standing", "driving"]), Need::No),
    plain("run.*.carrier", Choice(&["regulated", "manual"]), Need::No),
    plain("run.*.sections", Words, Need::No),
    plain("run.*.use.N", Choice(&["first", "second", "off"]), Need::No),
    row("run.*.presses.N", Number, -20.0, 20.0),
    row("run.*.shown.flow", FLOW, 0.0, 100_000.0 * LITRE_PER_MIN),
    row("run.*.shown.volume", VOLUME, 0.0, 1e7 * LITRE),
    row("run.*.shown.speed", SPEED, 0.0, FASTEST),
    row("run.*.shown.distance", LENGTH, 0.0, LONGEST),
    row("run.*.shown.width", LENGTH, 0.0, WIDEST),
    row("run.*.shown.area", AREA, 0.0, LARGEST),
    row("run.*.shown.rate", Typed_(Measure::VolumePerArea), 0.0, 1e6 * LITRE_PER_HA),
    row("run.*.shown.product_volume.N", VOLUME, 0.0, 1e5 * LITRE),
    row("run.*.shown.product_rate.N", Typed_(Measure::ProductRate), 0.0, 1e5 * LITRE_PER_HA),
    row("run.*.true.volume", VOLUME, 0.0, 1e7 * LITRE),
    row("run.*.true.flow", FLOW, 0.0, 100_000.0 * LITRE_PER_MIN),
    row("run.*.true.time", Typed_(Measure::Duration), 0.0, 864_000.0),
    row("run.*.true.width", LENGTH, 0.0, WIDEST),
    row("run.*.true.distance", LENGTH, 0.0, LONGEST),
    row("run.*.true.speed", SPEED, 0.0, FASTEST),
    row("run.*.true.area", AREA, 0.0, LARGEST),
    row("run.*.true.product.N", VOLUME, 0.0, 1e5 * LITRE),
    row("run.*.true.nozzle_flow", FLOW, 0.0, 1000.0 * LITRE_PER_MIN),
    row("run.*.true.pressure", Typed_(Measure::Pressure), 0.0, 100.0 * BAR),
    row("run.*.u.*.*", Typed_(Measure::Share), 0.0005, 1.0),
    row("run.*.u.*.*.N", Typed_(Measure::Share), 0.0005, 1.0),
    row("back.*", Number, 0.0, 1e12),
    row("back.*.N", Number, 0.0, 1e12),
];

/// The row that a path belongs to.
#[must_use]
pub fn spec_of(path: &str) -> Option<&'static FieldSpec> {
    FIELDS.iter().find(|spec| spec.fits(path))
}

/// What stands at a path, as a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// In SI, or the bare number.
    pub si: f64,
    /// Symbol of the unit in which it was typed; empty for a bare number.
    pub symbol: &'static str,
    /// What one of that unit is in SI; 1 for a bare number.
    pub si_per_unit: f64,
    /// A rate per carrier instead of per area.
    pub per_carrier: bool,
    /// The place of the last digit that was typed, in SI; `None` where the text is no plain decimal (`12 ft 6 in`, `1/2`).
    pub last_place: Option<f64>,
}

/// The number at a path; `None` where nothing stands or the path holds none.
///
/// # Errors
/// [`FieldProblem`].
#[must_use]
pub fn figure(path: &str, texts: &dyn Texts) -> Option<Result<Figure, FieldProblem>> {
    let spec = spec_of(path)?;
    let value = FieldValue::from_stored(texts.text_at(path)?);
    let of = match spec.holds {
        Number => number(&value, spec).map(|si| (si, "", 1.0, false)),
        Typed_(measure) => measured(&value, spec, measure)?,
        _ => return None,
    };
    Some(of.map(|(si, symbol, si_per_unit, per_carrier)| Figure {
        si,
        symbol,
        si_per_unit,
        per_carrier,
        last_place: last_place(&value.text).map(|place| place * si_per_unit),
    }))
}

/// SI, symbol and size of the unit, whether it is per carrier.
type Read = Result<(f64, &'static str, f64, bool), FieldProblem>;

fn measured(value: &FieldValue, spec: &FieldSpec, measure: Measure) -> Option<Read> {
    fn of<Q: Quantity>(value: &FieldValue, spec: &FieldSpec, measure: Measure) -> Read {
        quantity::<Q>(value, spec, measure).map(|typed| unit(typed.value.as_si(), typed.unit, false))
    }
    fn unit<U: Unit>(si: f64, unit: U, per_carrier: bool) -> (f64, &'static str, f64, bool) {
        (si, unit.symbol(), unit.si_per_unit(), per_carrier)
    }
    Some(match measure {
        Measure::Volume => of::<Volume>(value, spec, measure),
        Measure::Length => of::<Length>(value, spec, measure),
        Measure::Area => of::<Area>(value, spec, measure),
        Measure::FlowRate => of::<FlowRate>(value, spec, measure),
        Measure::Speed => of::<Speed>(value, spec, measure),
        Measure::Pressure => of::<Pressure>(value, spec, measure),
        Measure::Share => of::<Share>(value, spec, measure),
        Measure::Duration => of::<Duration>(value, spec, measure),
        Measure::VolumePerArea => of::<VolumePerArea>(value, spec, measure),
        Measure::ProductRate => product_rate(value, spec).map(|rate| match rate {
            ProductRate::PerArea(typed) => unit(typed.value.as_si(), typed.unit, false),
            ProductRate::PerCarrier(typed) => unit(typed.value.as_si(), typed.unit, true),
        }),
        _ => return None,
    })
}

/// The place of the last digit of a plain decimal, whatever stands behind it: `20.6 gal` gives 0.1.
///
/// ```
/// # use records::readings::last_place;
/// // By hand.
/// assert_eq!(last_place("20.60 gal"), Some(0.01));
/// assert_eq!(last_place("241"), Some(1.0));
/// assert_eq!(last_place("12 ft 6 in"), None);
/// assert_eq!(last_place("1/2 gal"), None);
/// ```
#[must_use]
pub fn last_place(text: &str) -> Option<f64> {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    // A fraction, or digits behind a unit, are another part; an exponent has no place that was read off.
    let parts = rest.trim_start().starts_with(['/', '-'])
        || rest.starts_with(['e', 'E'])
        || rest.split_whitespace().any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    if parts || !digits.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    let decimals = digits.rfind(['.', ',']).map_or(0, |mark| digits.len() - mark - 1);
    i32::try_from(decimals).ok().map(|decimals| 10_f64.powi(-decimals))
}
