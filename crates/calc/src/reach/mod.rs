//! What the speeds, sections and rates are that a rig can hold, and which limit binds at each end.
