//! Units as they are offered and echoed: which stand beside a box, which come first, what a typed number is in others.

use crate::state::sheet::System;
use crate::text::number;
use records::fields::{FieldSpec, Holds, Measure};
use records::{FieldValue, ProductRate};
use units::{
    Area, AreaUnit, Density, DensityUnit, Duration, DurationUnit, FlowRate, FlowRateUnit, Length, LengthUnit,
    Mass, MassUnit, Pressure, PressureUnit, Quantity, Share, ShareUnit, Speed, SpeedUnit, Temperature,
    TemperatureUnit, Unit, Volume, VolumePerArea, VolumePerAreaUnit, VolumePerCarrier, VolumePerCarrierUnit,
    VolumeUnit, parse,
};

/// Units that the arithmetic knows and nobody types at a sprayer.
const NOT_OFFERED: &[&str] =
    &["m3", "m3_per_s", "pa", "kg_per_m3", "fraction", "l_per_s", "us_gal_per_100_gal"];

/// Code and symbol of each unit of a measure.
pub(crate) fn units_of(measure: Measure) -> Vec<(&'static str, &'static str)> {
    fn list<U: Unit>() -> Vec<(&'static str, &'static str)> {
        U::ALL.iter().filter(|u| !NOT_OFFERED.contains(&u.code())).map(|u| (u.code(), u.symbol())).collect()
    }
    match measure {
        Measure::Volume => list::<VolumeUnit>(),
        Measure::Length => list::<LengthUnit>(),
        Measure::Area => list::<AreaUnit>(),
        Measure::FlowRate => list::<FlowRateUnit>(),
        Measure::Speed => list::<SpeedUnit>(),
        Measure::Pressure => list::<PressureUnit>(),
        Measure::Share => list::<ShareUnit>(),
        Measure::Density => list::<DensityUnit>(),
        Measure::Temperature => list::<TemperatureUnit>(),
        Measure::Mass => list::<MassUnit>(),
        Measure::Duration => list::<DurationUnit>(),
        Measure::VolumePerArea => list::<VolumePerAreaUnit>(),
        Measure::VolumePerCarrier => list::<VolumePerCarrierUnit>(),
        Measure::ProductRate => {
            let mut both = list::<VolumePerAreaUnit>();
            both.extend(list::<VolumePerCarrierUnit>());
            both
        }
        _ => Vec::new(),
    }
}

/// Code of the unit that stands beside an empty box.
pub(crate) fn usual_unit(measure: Measure, system: System) -> &'static str {
    let (us, metric) = match measure {
        Measure::Volume => ("us_gal", "l"),
        Measure::Length => ("ft", "m"),
        Measure::Area => ("ac", "ha"),
        Measure::FlowRate => ("us_gal_per_min", "l_per_min"),
        Measure::Speed => ("mph", "km_per_h"),
        Measure::Pressure => ("psi", "bar"),
        Measure::Share => ("pct", "pct"),
        Measure::Density => ("lb_per_us_gal", "kg_per_l"),
        Measure::Temperature => ("degf", "degc"),
        Measure::Mass => ("lb", "kg"),
        Measure::Duration => ("s", "s"),
        Measure::VolumePerArea => ("us_gal_per_ac", "l_per_ha"),
        Measure::ProductRate => ("us_fl_oz_per_ac", "ml_per_ha"),
        Measure::VolumePerCarrier => ("pct_v_v", "pct_v_v"),
        _ => ("", ""),
    };
    match system {
        System::Us => us,
        System::Metric => metric,
    }
}

/// The symbol of a stored unit code; the code itself where no unit has it.
pub(crate) fn symbol_of(measure: Measure, code: &str) -> String {
    units_of(measure).into_iter().find(|(c, _)| *c == code).map_or(code, |(_, symbol)| symbol).to_owned()
}

/// An SI number of a measure in the usual unit, e.g. for the edges of a range.
pub(crate) fn si_text(measure: Measure, si: f64, system: System) -> String {
    fn text<Q: Quantity>(si: f64, code: &str) -> String {
        Q::Unit::from_code(code)
            .map_or_else(|| number::significant(si, 3), |unit| number::quantity(Q::from_si(si), unit, 3))
    }
    let code = usual_unit(measure, system);
    match measure {
        Measure::Volume => text::<Volume>(si, code),
        Measure::Length => text::<Length>(si, code),
        Measure::Area => text::<Area>(si, code),
        Measure::FlowRate => text::<FlowRate>(si, code),
        Measure::Speed => text::<Speed>(si, code),
        Measure::Pressure => text::<Pressure>(si, code),
        Measure::Share => text::<Share>(si, code),
        Measure::Density => text::<Density>(si, code),
        Measure::Temperature => text::<Temperature>(si, code),
        Measure::Mass => text::<Mass>(si, code),
        Measure::Duration => text::<Duration>(si, code),
        Measure::VolumePerArea | Measure::ProductRate => {
            text::<VolumePerArea>(si, usual_unit(Measure::VolumePerArea, system))
        }
        Measure::VolumePerCarrier => text::<VolumePerCarrier>(si, code),
        _ => number::significant(si, 4),
    }
}

/// How typed text was understood, in the unit typed and in the other habit: `= 12.5 ft = 3.81 m`. Empty where the text
/// cannot be read or says nothing by its unit.
pub(crate) fn echo(spec: &FieldSpec, value: &FieldValue) -> String {
    let Holds::Quantity(measure) = spec.holds else { return String::new() };
    let beside = value.unit.as_deref();
    match measure {
        Measure::Volume => in_both::<Volume>(value, beside, VolumeUnit::UsGallon, VolumeUnit::Litre),
        Measure::Length => in_both::<Length>(value, beside, LengthUnit::Foot, LengthUnit::Metre),
        Measure::Area => in_both::<Area>(value, beside, AreaUnit::Acre, AreaUnit::Hectare),
        Measure::FlowRate => {
            in_both::<FlowRate>(value, beside, FlowRateUnit::UsGallonPerMinute, FlowRateUnit::LitrePerMinute)
        }
        Measure::Speed => {
            in_both::<Speed>(value, beside, SpeedUnit::MilePerHour, SpeedUnit::KilometrePerHour)
        }
        Measure::Pressure => in_both::<Pressure>(value, beside, PressureUnit::Psi, PressureUnit::Bar),
        Measure::Density => {
            in_both::<Density>(value, beside, DensityUnit::PoundPerUsGallon, DensityUnit::KilogramPerLitre)
        }
        Measure::Temperature => {
            in_both::<Temperature>(value, beside, TemperatureUnit::Fahrenheit, TemperatureUnit::Celsius)
        }
        Measure::Mass => in_both::<Mass>(value, beside, MassUnit::Pound, MassUnit::Kilogram),
        Measure::VolumePerArea => in_both::<VolumePerArea>(
            value,
            beside,
            VolumePerAreaUnit::UsGallonPerAcre,
            VolumePerAreaUnit::LitrePerHectare,
        ),
        Measure::ProductRate => match ProductRate::parse(&value.text, beside) {
            Ok(ProductRate::PerArea(typed)) => both(
                typed.value,
                typed.unit,
                VolumePerAreaUnit::UsFluidOuncePerAcre,
                VolumePerAreaUnit::MillilitrePerHectare,
            ),
            Ok(ProductRate::PerCarrier(typed)) => both(
                typed.value,
                typed.unit,
                VolumePerCarrierUnit::UsFluidOuncePer100Gallons,
                VolumePerCarrierUnit::PercentByVolume,
            ),
            Err(_) => String::new(),
        },
        _ => String::new(),
    }
}

fn in_both<Q: Quantity>(value: &FieldValue, beside: Option<&str>, us: Q::Unit, metric: Q::Unit) -> String {
    let beside = beside.and_then(Q::Unit::from_code);
    parse::<Q>(&value.text, beside)
        .map_or_else(|_| String::new(), |typed| both(typed.value, typed.unit, us, metric))
}

/// The value as typed and in the unit of the other habit.
fn both<Q: Quantity>(value: Q, typed: Q::Unit, us: Q::Unit, metric: Q::Unit) -> String {
    let mut parts = vec![number::quantity(value, typed, 5)];
    let shown = |parts: &[String], text: &String| parts.contains(text);
    for unit in [us, metric] {
        let text = number::quantity(value, unit, 4);
        if unit != typed && !shown(&parts, &text) {
            parts.push(text);
        }
    }
    format!("= {}", parts.join(" = "))
}
