//! How the rig is driven and switched: manoeuvres one after another, or speed and switches against time.
//!
//! What the console and the plumbing make of it is in [`super::simulation`].

use units::{Duration, Length, Speed};

/// Speed and switches against time. Speed changes in straight lines from knot to knot.
///
/// It begins with all sections open, the boom and the pump on, the first rate, no nudge.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// Speed at moments that follow each other; the first at zero, the last is the end.
    pub speed: Vec<SpeedKnot>,
    /// What is switched and when, in order.
    pub switches: Vec<Switch>,
}

/// Speed at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpeedKnot {
    /// When, from the start.
    pub at: Duration,
    /// How fast then, ≥ 0.
    pub speed: Speed,
}

/// One switch thrown.
#[derive(Clone, Debug, PartialEq)]
pub struct Switch {
    /// When, from the start.
    pub at: Duration,
    /// What it changes.
    pub what: Switched,
}

/// What a switch changes.
#[derive(Clone, Debug, PartialEq)]
pub enum Switched {
    /// Shuts these sections, by their places in the network.
    Shut(Vec<usize>),
    /// Opens these sections.
    Open(Vec<usize>),
    /// The whole boom off or on; sections keep their own switches.
    Boom(bool),
    /// The injection pump off or on, the boom going on with carrier.
    Pump(bool),
    /// The second rate on, or back to the first.
    SecondRate(bool),
    /// Presses of the nudge in all, up above zero and down below.
    Nudge(i32),
}

/// One thing that a driver does.
#[derive(Clone, Debug, PartialEq)]
pub enum Manoeuvre {
    /// Goes on at the speed it has, for a distance.
    Steady {
        /// How far, > 0.
        distance: Length,
    },
    /// Gains or loses speed evenly: start from standing, speed up, slow down.
    ChangeSpeed {
        /// The speed in the end, ≥ 0.
        to: Speed,
        /// How long it takes, > 0.
        takes: Duration,
    },
    /// Slows for a corner, goes round it, speeds up to what it was. Below the console's hold speed this is where the
    /// minimum-speed hold acts.
    Corner {
        /// Speed in the corner, > 0.
        slow_to: Speed,
        /// Time to slow, and again to speed up, > 0.
        takes: Duration,
        /// How far it goes at that speed, > 0.
        distance: Length,
    },
    /// Brakes to a stop, stands, speeds up to what it was.
    StopAndGo {
        /// Time to brake, and again to speed up, > 0.
        takes: Duration,
        /// How long it stands, > 0.
        stands: Duration,
        /// Whether the boom is off while it stands.
        boom_off: bool,
    },
    /// Goes on with sections shut for a distance, then opens them.
    SectionsShut {
        /// Places of the sections in the network.
        sections: Vec<usize>,
        /// How far, > 0.
        distance: Length,
    },
    /// Goes on with the second rate for a distance.
    SecondRate {
        /// How far, > 0.
        distance: Length,
    },
    /// Goes on with the rate nudged for a distance.
    Nudged {
        /// Presses, up above zero and down below.
        steps: i32,
        /// How far, > 0.
        distance: Length,
    },
    /// Goes on with the pump off: the lines are flushed onto the field.
    PumpOff {
        /// How far, > 0.
        distance: Length,
    },
    /// Shuts the boom and brakes to a stop.
    EndOfPass {
        /// Time to brake, > 0.
        takes: Duration,
    },
}

/// Why a drive makes no sense.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum DriveError {
    /// A distance, time or speed of a manoeuvre is not above zero, or not a number.
    Number {
        /// Place of the manoeuvre.
        manoeuvre: usize,
        /// As given, in SI.
        got: f64,
    },
    /// A distance is to be driven while standing.
    Standing {
        /// Place of the manoeuvre.
        manoeuvre: usize,
    },
    /// The knots do not begin at zero, do not follow each other in time, or there are fewer than two.
    KnotOrder {
        /// Place of the knot.
        knot: usize,
    },
    /// A speed is below zero or not a number.
    KnotSpeed {
        /// Place of the knot.
        knot: usize,
        /// As given.
        got: Speed,
    },
    /// A switch is thrown before the one before it, before the start or after the end.
    SwitchOrder {
        /// Place of the switch.
        switch: usize,
    },
}

impl Drive {
    /// Puts manoeuvres one after another.
    ///
    /// # Errors
    /// [`DriveError::Number`], [`DriveError::Standing`].
    ///
    /// # Example
    /// By hand: 10 s from standing to 4 m/s cover 20 m, 40 m more take 10 s.
    /// ```
    /// # use calc::pass::drive::{Drive, Manoeuvre};
    /// # use units::{Duration, Length, Speed};
    /// let start = Manoeuvre::ChangeSpeed { to: Speed::from_m_per_s(4.0), takes: Duration::from_s(10.0) };
    /// let on = Manoeuvre::Steady { distance: Length::from_m(40.0) };
    /// let drive = Drive::of(Speed::from_m_per_s(0.0), &[start, on]).unwrap();
    /// assert_eq!(drive.lasts().as_s(), 20.0);
    /// assert_eq!(drive.length().as_m(), 60.0);
    /// ```
    pub fn of(from_speed: Speed, manoeuvres: &[Manoeuvre]) -> Result<Self, DriveError> {
        let mut track = Track { drive: Self::standing(from_speed), at_s: 0.0, manoeuvre: 0 };
        for (place, manoeuvre) in manoeuvres.iter().enumerate() {
            track.manoeuvre = place;
            track.add(manoeuvre)?;
        }
        track.drive.check()?;
        Ok(track.drive)
    }

    /// How long it takes.
    #[must_use]
    pub fn lasts(&self) -> Duration {
        self.speed.last().map_or(Duration::from_s(0.0), |knot| knot.at)
    }

    /// How long the track is.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::from_m(self.speed.windows(2).map(stretch_m).sum())
    }

    /// Whether knots and switches are in order.
    ///
    /// # Errors
    /// [`DriveError::KnotOrder`], [`DriveError::KnotSpeed`], [`DriveError::SwitchOrder`].
    pub fn check(&self) -> Result<(), DriveError> {
        if self.speed.len() < 2 {
            return Err(DriveError::KnotOrder { knot: self.speed.len() });
        }
        let mut last_s = None;
        for (knot, &SpeedKnot { at, speed }) in self.speed.iter().enumerate() {
            let is_in_order = last_s.map_or(at.as_s() == 0.0, |last| last < at.as_s());
            if !(is_in_order && at.as_s().is_finite()) {
                return Err(DriveError::KnotOrder { knot });
            }
            if !(0.0 <= speed.as_m_per_s() && speed.as_m_per_s().is_finite()) {
                return Err(DriveError::KnotSpeed { knot, got: speed });
            }
            last_s = Some(at.as_s());
        }
        let mut last_s = 0.0;
        for (switch, Switch { at, .. }) in self.switches.iter().enumerate() {
            if !(last_s <= at.as_s() && at.as_s() <= self.lasts().as_s()) {
                return Err(DriveError::SwitchOrder { switch });
            }
            last_s = at.as_s();
        }
        Ok(())
    }

    /// The same drive begun a distance earlier, at the speed that it has after the first knot at which it moves. The boom is
    /// on meanwhile; everything else happens as much later as that takes.
    ///
    /// `None` when it never moves or the distance is not above zero.
    #[must_use]
    pub fn with_lead_in(&self, distance: Length) -> Option<Self> {
        let place = self.speed.iter().position(|knot| 0.0 < knot.speed.as_m_per_s())?;
        let from = self.speed[place];
        let takes_s = distance.as_m() / from.speed.as_m_per_s();
        if !(takes_s.is_finite() && 0.0 < takes_s) {
            return None;
        }
        let later = |at: Duration| Duration::from_s(at.as_s() + takes_s);
        let mut longer = self.clone();
        longer.speed[place..].iter_mut().for_each(|knot| knot.at = later(knot.at));
        longer.speed.insert(place, from);
        // Switches at the very start stay there; they say how the rig starts.
        longer.switches.iter_mut().filter(|s| from.at < s.at).for_each(|s| s.at = later(s.at));
        Some(longer)
    }

    /// The same times, but slower stretches only part as slow: each speed moves by `share` of the way to the greatest. Stops
    /// and starts stay.
    #[must_use]
    pub fn steadier(&self, share: f64) -> Self {
        let greatest = self.speed.iter().map(|knot| knot.speed.as_m_per_s()).fold(0.0, f64::max);
        let mut steadier = self.clone();
        for knot in steadier.speed.iter_mut().filter(|knot| 0.0 < knot.speed.as_m_per_s()) {
            let v = knot.speed.as_m_per_s();
            knot.speed = Speed::from_m_per_s(v + share * (greatest - v));
        }
        steadier
    }

    fn standing(from_speed: Speed) -> Self {
        let at = Duration::from_s(0.0);
        Self { speed: vec![SpeedKnot { at, speed: from_speed }], switches: Vec::new() }
    }
}

/// Metres between two knots.
pub(super) fn stretch_m(knots: &[SpeedKnot]) -> f64 {
    match knots {
        [a, b] => (b.at.as_s() - a.at.as_s()) * (a.speed.as_m_per_s() + b.speed.as_m_per_s()) / 2.0,
        _ => 0.0,
    }
}

/// A drive as it grows.
struct Track {
    drive: Drive,
    at_s: f64,
    manoeuvre: usize,
}

impl Track {
    fn add(&mut self, manoeuvre: &Manoeuvre) -> Result<(), DriveError> {
        let speed = self.drive.speed.last().map_or(Speed::from_m_per_s(0.0), |knot| knot.speed);
        match manoeuvre {
            Manoeuvre::Steady { distance } => self.steady(*distance),
            Manoeuvre::ChangeSpeed { to, takes } => self.ramp(*to, *takes),
            Manoeuvre::Corner { slow_to, takes, distance } => {
                self.ramp(*slow_to, *takes)?;
                self.steady(*distance)?;
                self.ramp(speed, *takes)
            }
            Manoeuvre::StopAndGo { takes, stands, boom_off } => {
                self.ramp(Speed::from_m_per_s(0.0), *takes)?;
                if *boom_off {
                    self.switch(Switched::Boom(false));
                }
                self.ramp(Speed::from_m_per_s(0.0), *stands)?;
                if *boom_off {
                    self.switch(Switched::Boom(true));
                }
                self.ramp(speed, *takes)
            }
            Manoeuvre::SectionsShut { sections, distance } => {
                self.switch(Switched::Shut(sections.clone()));
                self.steady(*distance)?;
                self.switch(Switched::Open(sections.clone()));
                Ok(())
            }
            Manoeuvre::SecondRate { distance } => {
                self.between(Switched::SecondRate(true), *distance, Switched::SecondRate(false))
            }
            Manoeuvre::Nudged { steps, distance } => {
                self.between(Switched::Nudge(*steps), *distance, Switched::Nudge(0))
            }
            Manoeuvre::PumpOff { distance } => {
                self.between(Switched::Pump(false), *distance, Switched::Pump(true))
            }
            Manoeuvre::EndOfPass { takes } => {
                self.switch(Switched::Boom(false));
                self.ramp(Speed::from_m_per_s(0.0), *takes)
            }
        }
    }

    fn between(&mut self, on: Switched, distance: Length, off: Switched) -> Result<(), DriveError> {
        self.switch(on);
        self.steady(distance)?;
        self.switch(off);
        Ok(())
    }

    fn switch(&mut self, what: Switched) {
        self.drive.switches.push(Switch { at: Duration::from_s(self.at_s), what });
    }

    fn steady(&mut self, distance: Length) -> Result<(), DriveError> {
        let speed = self.drive.speed.last().map_or(Speed::from_m_per_s(0.0), |knot| knot.speed);
        let distance_m = self.above_zero(distance.as_m())?;
        if speed.as_m_per_s() <= 0.0 {
            return Err(DriveError::Standing { manoeuvre: self.manoeuvre });
        }
        self.ramp(speed, Duration::from_s(distance_m / speed.as_m_per_s()))
    }

    fn ramp(&mut self, to: Speed, takes: Duration) -> Result<(), DriveError> {
        self.at_s += self.above_zero(takes.as_s())?;
        if !(0.0 <= to.as_m_per_s() && to.as_m_per_s().is_finite()) {
            return Err(DriveError::Number { manoeuvre: self.manoeuvre, got: to.as_m_per_s() });
        }
        self.drive.speed.push(SpeedKnot { at: Duration::from_s(self.at_s), speed: to });
        Ok(())
    }

    fn above_zero(&self, got: f64) -> Result<f64, DriveError> {
        if got.is_finite() && 0.0 < got {
            return Ok(got);
        }
        Err(DriveError::Number { manoeuvre: self.manoeuvre, got })
    }
}
