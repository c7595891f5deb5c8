//! A drive over the field, simulated: controllers, nozzles that follow pressure, plug flow, dose on the ground.
