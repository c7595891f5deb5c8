//! Readings that disagree, and the keyed-in number or fault that explains them best.
