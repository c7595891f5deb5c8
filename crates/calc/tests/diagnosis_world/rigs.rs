//! Invented rigs over every convention: US, metric and imperial.

use calc::diagnosis::{NumberForm, Proof, Setup, SheetNumber, SpeedSource};
use calc::model::KeyedNumber as Entry;
use calc::rig::NozzleSet;
use units::{
    FlowRate, KeyInStep, LengthUnit, Pressure, PulseConvention, ShareUnit, SpeedUnit, Unit,
    VolumePerAreaUnit, VolumePerCarrierUnit, VolumeUnit,
};

use super::random::Random;

pub fn meter_forms() -> Vec<PulseConvention<VolumeUnit>> {
    vec![
        PulseConvention::counting(1.0, VolumeUnit::UsGallon),
        PulseConvention::counting(10.0, VolumeUnit::UsGallon),
        PulseConvention::counting(1.0, VolumeUnit::Litre),
        PulseConvention::counting(1.0, VolumeUnit::ImperialGallon),
    ]
}

pub fn course_forms() -> Vec<PulseConvention<LengthUnit>> {
    vec![
        PulseConvention::counting(300.0, LengthUnit::Foot),
        PulseConvention::counting(400.0, LengthUnit::Foot),
        PulseConvention::counting(100.0, LengthUnit::Metre),
        PulseConvention::counting(1.0, LengthUnit::Kilometre),
        PulseConvention::counting(1.0, LengthUnit::Mile),
        PulseConvention::spacing(10.0, LengthUnit::Inch),
        PulseConvention::spacing(1000.0, LengthUnit::Centimetre),
    ]
}

pub fn pump_forms() -> Vec<PulseConvention<VolumeUnit>> {
    vec![
        PulseConvention::counting(1.0, VolumeUnit::UsFluidOunce),
        PulseConvention::counting(1.0, VolumeUnit::Millilitre),
        PulseConvention::counting(1.0, VolumeUnit::Litre),
        PulseConvention::spacing(1000.0, VolumeUnit::Millilitre),
    ]
}

pub const WIDTH_UNITS: [LengthUnit; 4] =
    [LengthUnit::Inch, LengthUnit::Foot, LengthUnit::Centimetre, LengthUnit::Metre];

pub const CARRIER_UNITS: [VolumePerAreaUnit; 4] = [
    VolumePerAreaUnit::UsGallonPerAcre,
    VolumePerAreaUnit::LitrePerHectare,
    VolumePerAreaUnit::UsGallonPerThousandSquareFeet,
    VolumePerAreaUnit::LitrePerHundredSquareMetres,
];

pub fn product_forms() -> Vec<NumberForm> {
    vec![
        NumberForm::PerArea(VolumePerAreaUnit::UsFluidOuncePerAcre),
        NumberForm::PerArea(VolumePerAreaUnit::UsPintPerAcre),
        NumberForm::PerArea(VolumePerAreaUnit::UsQuartPerAcre),
        NumberForm::PerArea(VolumePerAreaUnit::MillilitrePerHectare),
        NumberForm::PerArea(VolumePerAreaUnit::UsFluidOuncePerThousandSquareFeet),
        NumberForm::PerCarrier(VolumePerCarrierUnit::UsFluidOuncePer100Gallons),
        NumberForm::PerCarrier(VolumePerCarrierUnit::PercentByVolume),
    ]
}

/// A number as a console with a fitting step would hold it.
pub fn number(entry: Entry, form: NumberForm, si: f64, proof: Proof) -> SheetNumber {
    let exact = form.number_of_si(si);
    // Steps as consoles have them: three to four digits.
    let step = 10_f64.powf((exact.log10() - 2.3).floor()).min(1.0);
    let step = KeyInStep { step, largest: None };
    let value = step.round(exact);
    let text = format!("{value:.*}", step.decimals());
    let value = text.parse().unwrap();
    SheetNumber { entry, form, text, value, step: Some(step), proof, stamped: None }
}

fn proof(random: &mut Random) -> Proof {
    match random.below(4) {
        0 => Proof::Stamped,
        1 => Proof::Untried,
        _ => Proof::Proven { u_rel: random.between(0.003, 0.008) },
    }
}

/// A rig with plausible numbers; pumps with a second rate and a nudge, and a minimum-speed hold.
pub fn rig(random: &mut Random, n_sections: usize, n_pumps: usize) -> Setup {
    let mut numbers = Vec::new();
    // 60 to 900 pulses per US gallon.
    let meter = random.scale(60.0, 900.0) / VolumeUnit::UsGallon.si_per_unit();
    let form = NumberForm::PerVolume(*random.pick(&meter_forms()));
    let mut keyed = number(Entry::Meter, form, meter, proof(random));
    keyed.stamped = stamped(random, &keyed);
    numbers.push(keyed);
    let course = random.scale(3.0, 140.0);
    let form = NumberForm::PerDistance(*random.pick(&course_forms()));
    numbers.push(number(Entry::Course, form, course, proof(random)));
    let unit = *random.pick(&WIDTH_UNITS);
    let even = random.chance(0.4);
    let first = random.below(4) as f64;
    let mut n_nozzles = Vec::new();
    for j in 0..n_sections {
        let n = if even { 6.0 + first } else { 4.0 + random.below(8) as f64 };
        n_nozzles.push(n as u32);
        let width = number(Entry::Width(j), NumberForm::Length(unit), n * 0.508, proof(random));
        numbers.push(width);
    }
    let rate_m = random.scale(50.0, 300.0) * 1e-7;
    numbers.push(number(
        Entry::CarrierRate,
        NumberForm::PerArea(*random.pick(&CARRIER_UNITS)),
        rate_m,
        Proof::Untried,
    ));
    let form = NumberForm::PerVolume(*random.pick(&pump_forms()));
    for pump in 0..n_pumps {
        let pulses = random.scale(2.0, 60.0) / 2.957e-5;
        let mut keyed = number(Entry::Pump(pump), form, pulses, proof(random));
        keyed.stamped = stamped(random, &keyed);
        numbers.push(keyed);
        let rate_form = *random.pick(&product_forms());
        // 0.3 to 4 L/ha, or 0.3 to 3 % of the carrier.
        let first = match rate_form {
            NumberForm::PerCarrier(_) => random.scale(0.003, 0.03),
            _ => random.scale(0.3, 4.0) * 1e-7,
        };
        numbers.push(number(Entry::FirstRate(pump), rate_form, first, Proof::Untried));
        let second = first * random.scale(1.3, 2.2);
        numbers.push(number(Entry::SecondRate(pump), rate_form, second, Proof::Untried));
        numbers.push(number(
            Entry::NudgeStep(pump),
            NumberForm::Share(ShareUnit::Percent),
            0.1,
            Proof::Untried,
        ));
    }
    let unit = *random.pick(&[SpeedUnit::MilePerHour, SpeedUnit::KilometrePerHour]);
    let standing = random.between(1.8, 4.0);
    numbers.push(number(Entry::StandingSpeed, NumberForm::Speed(unit), standing, Proof::Untried));
    numbers.push(number(Entry::HoldSpeed, NumberForm::Speed(unit), random.between(0.6, 0.9), Proof::Untried));
    Setup {
        numbers,
        n_nozzles,
        nozzles: Some(NozzleSet {
            rated_flow: FlowRate::from_l_per_min(1.2),
            rated_pressure: Pressure::from_bar(3.0),
            least_pressure: None,
            greatest_pressure: None,
            spacing: None,
        }),
        specific_gravity: 1.0,
        speed_source: *random.pick(&[SpeedSource::Wheel, SpeedSource::Ground, SpeedSource::Unknown]),
    }
}

fn stamped(random: &mut Random, keyed: &SheetNumber) -> Option<f64> {
    let proven = matches!(keyed.proof, Proof::Proven { .. });
    let off = if random.chance(0.5) { random.between(1.05, 1.2) } else { random.between(0.8, 0.95) };
    (proven && random.chance(0.7))
        .then(|| keyed.step.unwrap().round(keyed.value * off))
        .filter(|s| *s != keyed.value)
}
