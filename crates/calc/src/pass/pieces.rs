//! Cuts a pass into pieces of time in which every flow stands: what the driver does, what the console makes of it.
//!
//! The console aims at `rate × max(speed, hold) × open width`; carrier and pump follow with dead time and time constant.
//! Each piece carries the exact mean of what happens in it. What then flows in which pipe is in [`super::simulation`].

use super::controller::Lagged;
use super::drive::{Drive, Switched, stretch_m};
use super::setup::{AtSwitch, Controller, Pass};

/// A stretch of time in which everything stands still at its mean.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub(super) from_s: f64,
    pub(super) to_s: f64,
    pub(super) from_m: f64,
    pub(super) to_m: f64,
    /// Into the supply node; zero while nothing flows.
    pub(super) carrier_m3_s: f64,
    /// From the pump.
    pub(super) pump_m3_s: f64,
    /// Which sections are shut: place in [`Cut::patterns`]; `None` while the boom is off.
    pub(super) pattern: Option<usize>,
    /// Product per area that is wanted, as a height.
    pub(super) target_m: f64,
}

/// A pass cut into pieces.
#[derive(Clone, Debug)]
pub(super) struct Cut {
    pub(super) pieces: Vec<Piece>,
    /// Shut sections, each list sorted.
    pub(super) patterns: Vec<Vec<usize>>,
}

/// What the switches say between two of them.
#[derive(Clone, Debug, PartialEq)]
struct Setting {
    from_s: f64,
    is_on: bool,
    is_pump_on: bool,
    shut: Vec<usize>,
    is_second: bool,
    nudge: i32,
    /// Width of the open nozzles, zero while the boom is off.
    width_m: f64,
}

/// Cuts a pass. `open_width_m` tells the width that is open when sections are shut.
pub(super) fn cut(pass: &Pass, open_width_m: impl Fn(&[usize]) -> f64) -> Cut {
    let settings = settings(&pass.drive, &open_width_m);
    let console = Console { pass, settings: &settings };
    let times = times(pass, &settings);
    let mut cut = Cut { pieces: Vec::with_capacity(times.len()), patterns: Vec::new() };
    let r_m = si(pass.carrier_rate);
    let mut carrier =
        Lagged { value: r_m * console.speed_m_s(0.0), tau_s: pass.carrier.time_constant.as_s() };
    let mut pump = Lagged { value: 0.0, tau_s: pass.pump.time_constant.as_s() };
    let mut from_m = 0.0;
    let mut before: Option<&Setting> = None;
    let trickle_m3_s = TRICKLE * r_m * top_speed_m_s(pass) * open_width_m(&[]);
    for pair in times.windows(2) {
        let [from_s, to_s] = [pair[0], pair[1]];
        let dt_s = to_s - from_s;
        let setting = console.setting(0.5 * (from_s + to_s));
        let to_m = from_m + distance_m(&pass.drive, from_s, to_s);
        if pass.at_switch == AtSwitch::KeepsFlow
            && let Some(old) = before.filter(|old| 0.0 < old.width_m && 0.0 < setting.width_m)
        {
            carrier.value *= old.width_m / setting.width_m;
        }
        before = Some(setting);
        let (mut carrier_m3_s, mut pump_m3_s) = (0.0, 0.0);
        if 0.0 < setting.width_m {
            let dead_s = pass.carrier.dead_time.as_s();
            // Carrier per width: sections that open or shut keep the pressure, and with it this.
            let aim = |t_s: f64| r_m * console.speed_m_s((t_s - dead_s).max(0.0));
            carrier_m3_s = setting.width_m * carrier.advance(dt_s, aim(from_s), aim(to_s));
            let dead_s = pass.pump.dead_time.as_s();
            let (from, to) = console.pump_aim(from_s - dead_s, to_s - dead_s);
            pump_m3_s = pump.advance(dt_s, from, to);
            if carrier_m3_s + pump_m3_s < trickle_m3_s {
                (carrier_m3_s, pump_m3_s) = (0.0, 0.0);
            }
        } else {
            // With all shut the valve stays where it is, and the same switch stops the pump.
            pump.value = 0.0;
        }
        let pattern = (0.0 < setting.width_m).then(|| {
            let known = cut.patterns.iter().position(|shut| *shut == setting.shut);
            known.unwrap_or_else(|| {
                cut.patterns.push(setting.shut.clone());
                cut.patterns.len() - 1
            })
        });
        let target_m = console.rate_m(setting);
        cut.pieces.push(Piece { from_s, to_s, from_m, to_m, carrier_m3_s, pump_m3_s, pattern, target_m });
        from_m = to_m;
    }
    cut
}

/// A flow below this part of the full one counts as none: an exponential never quite gets there.
const TRICKLE: f64 = 1e-6;

fn top_speed_m_s(pass: &Pass) -> f64 {
    let hold = pass.hold_speed.map_or(0.0, units::Speed::as_m_per_s);
    pass.drive.speed.iter().map(|knot| knot.speed.as_m_per_s()).fold(hold, f64::max)
}

/// What the console aims at.
struct Console<'a> {
    pass: &'a Pass,
    settings: &'a [Setting],
}

impl Console<'_> {
    fn setting(&self, t_s: f64) -> &Setting {
        let n = self.settings.partition_point(|setting| setting.from_s <= t_s);
        &self.settings[n.max(1) - 1]
    }

    /// Speed as the console takes it: no less than its hold.
    fn speed_m_s(&self, t_s: f64) -> f64 {
        let hold = self.pass.hold_speed.map_or(0.0, units::Speed::as_m_per_s);
        speed_m_s(&self.pass.drive, t_s).max(hold)
    }

    /// Product per area in force.
    fn rate_m(&self, setting: &Setting) -> f64 {
        let rate = match self.pass.second_rate {
            Some(second) if setting.is_second => second,
            _ => self.pass.product_rate,
        };
        (si(rate) * (1.0 + f64::from(setting.nudge) * self.pass.nudge.as_fraction())).max(0.0)
    }

    /// Output that the pump is asked for at both ends of a time in which no switch is thrown.
    fn pump_aim(&self, from_s: f64, to_s: f64) -> (f64, f64) {
        let middle_s = 0.5 * (from_s + to_s);
        if middle_s < 0.0 {
            return (0.0, 0.0);
        }
        let setting = self.setting(middle_s);
        if !setting.is_pump_on {
            return (0.0, 0.0);
        }
        let per_speed = self.rate_m(setting) * setting.width_m;
        let least = self.pass.pump_least.map_or(0.0, units::FlowRate::as_m3_per_s);
        let greatest = self.pass.pump_greatest.map_or(f64::INFINITY, units::FlowRate::as_m3_per_s);
        let aim = |t_s: f64| match per_speed * self.speed_m_s(t_s.max(0.0)) {
            q if 0.0 < q => q.max(least).min(greatest),
            _ => 0.0,
        };
        (aim(from_s), aim(to_s))
    }
}

/// Every moment at which a piece begins or ends.
fn times(pass: &Pass, settings: &[Setting]) -> Vec<f64> {
    let drive = &pass.drive;
    let end_s = drive.lasts().as_s();
    let mut times: Vec<f64> = drive.speed.iter().map(|knot| knot.at.as_s()).collect();
    let top = drive.speed.iter().map(|knot| knot.speed.as_m_per_s()).fold(0.0, f64::max);
    let hold = pass.hold_speed.map_or(0.0, units::Speed::as_m_per_s);
    let mut changes = vec![0.0];
    for pair in drive.speed.windows(2) {
        let [from_s, to_s] = [pair[0].at.as_s(), pair[1].at.as_s()];
        let [v0, v1] = [pair[0].speed.as_m_per_s(), pair[1].speed.as_m_per_s()];
        if v0 == v1 {
            continue;
        }
        changes.extend([from_s, to_s]);
        if (v0 < hold) != (v1 < hold) {
            changes.push(from_s + (hold - v0) / (v1 - v0) * (to_s - from_s));
        }
        let n = (f64::from(pass.fineness.ramp) * (v1 - v0).abs() / top).ceil();
        let step_s = (to_s - from_s) / n;
        times.extend((1..).map(f64::from).take_while(|k| *k < n).map(|k| from_s + k * step_s));
    }
    changes.extend(settings.iter().map(|setting| setting.from_s));
    changes.sort_unstable_by(f64::total_cmp);
    changes.dedup();
    times.extend(&changes);
    for (idx, &at_s) in changes.iter().enumerate() {
        let quiet_s = changes.get(idx + 1).copied().unwrap_or(end_s);
        for controller in [pass.carrier, pass.pump] {
            settling(at_s, quiet_s, controller, pass.fineness.settling, &mut times);
        }
    }
    times.retain(|t_s| (0.0..=end_s).contains(t_s));
    times.sort_unstable_by(f64::total_cmp);
    // What is closer than a tenth of a millisecond is one moment, the earlier; the end stays.
    times.dedup_by(|later, earlier| *later - *earlier < 1e-4);
    if let Some(last) = times.last_mut() {
        *last = end_s;
    }
    times
}

/// After a change at `at_s`: the end of the dead time, then moments between which equal parts of the way are made, and one
/// more when 98 % of it is done. Those of a change soon followed by another are left to that one.
fn settling(at_s: f64, next_change_s: f64, controller: Controller, n: u32, times: &mut Vec<f64>) {
    let (dead_s, tau_s) = (controller.dead_time.as_s(), controller.time_constant.as_s());
    times.push(at_s + dead_s);
    if tau_s <= 0.0 {
        return;
    }
    let n = f64::from(n);
    let rest =
        (0..).map(f64::from).take_while(|k| *k < n).map(|k| -(1.0 - (k + 1.0) / n * 0.98).ln() * tau_s);
    times.extend(rest.map(|t_s| at_s + dead_s + t_s).filter(|t_s| *t_s < next_change_s + dead_s));
}

fn settings(drive: &Drive, open_width_m: &impl Fn(&[usize]) -> f64) -> Vec<Setting> {
    let mut now = Setting {
        from_s: 0.0,
        is_on: true,
        is_pump_on: true,
        shut: Vec::new(),
        is_second: false,
        nudge: 0,
        width_m: open_width_m(&[]),
    };
    let mut settings = vec![now.clone()];
    for switch in &drive.switches {
        match &switch.what {
            Switched::Shut(sections) => now.shut.extend(sections),
            Switched::Open(sections) => now.shut.retain(|section| !sections.contains(section)),
            Switched::Boom(is_on) => now.is_on = *is_on,
            Switched::Pump(is_on) => now.is_pump_on = *is_on,
            Switched::SecondRate(is_on) => now.is_second = *is_on,
            Switched::Nudge(steps) => now.nudge = *steps,
        }
        now.shut.sort_unstable();
        now.shut.dedup();
        now.from_s = switch.at.as_s();
        now.width_m = if now.is_on { open_width_m(&now.shut) } else { 0.0 };
        if settings.last().is_some_and(|last| last.from_s == now.from_s) {
            settings.pop();
        }
        settings.push(now.clone());
    }
    settings
}

fn speed_m_s(drive: &Drive, t_s: f64) -> f64 {
    let after = drive.speed.partition_point(|knot| knot.at.as_s() <= t_s);
    let (Some(a), Some(b)) = (drive.speed.get(after.max(1) - 1), drive.speed.get(after)) else {
        return drive.speed.last().map_or(0.0, |knot| knot.speed.as_m_per_s());
    };
    let (v0, v1) = (a.speed.as_m_per_s(), b.speed.as_m_per_s());
    v0 + (v1 - v0) * (t_s - a.at.as_s()) / (b.at.as_s() - a.at.as_s())
}

/// No knot lies between the two times, so the way is a trapezium.
fn distance_m(drive: &Drive, from_s: f64, to_s: f64) -> f64 {
    let knot = |t_s: f64| super::drive::SpeedKnot {
        at: units::Duration::from_s(t_s),
        speed: units::Speed::from_m_per_s(speed_m_s(drive, t_s)),
    };
    stretch_m(&[knot(from_s), knot(to_s)])
}

fn si(rate: units::VolumePerArea) -> f64 {
    units::Quantity::as_si(rate)
}
