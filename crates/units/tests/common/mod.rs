//! One list of all quantities, so that no test forgets one.

/// Calls a generic function once for every quantity of the crate.
#[macro_export]
macro_rules! for_every_quantity {
    ($f:ident ( $($arg:expr),* )) => {
        $f::<units::Length>($($arg),*);
        $f::<units::Area>($($arg),*);
        $f::<units::Volume>($($arg),*);
        $f::<units::Mass>($($arg),*);
        $f::<units::Duration>($($arg),*);
        $f::<units::Speed>($($arg),*);
        $f::<units::FlowRate>($($arg),*);
        $f::<units::Pressure>($($arg),*);
        $f::<units::Density>($($arg),*);
        $f::<units::Temperature>($($arg),*);
        $f::<units::VolumePerArea>($($arg),*);
        $f::<units::VolumePerCarrier>($($arg),*);
        $f::<units::Share>($($arg),*);
    };
}
