//! The liquid path from the injection point to every nozzle: hydraulics, plug-flow transport, lag.
