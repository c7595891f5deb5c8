//! Reach: windows, sections, nozzle choice, doses, turns, single changes and the cab card, against published rows, hand
//! calculations and second methods. Formulas of single nozzles and rates are tested elsewhere.

#[cfg(test)]
mod bad_input;
#[cfg(test)]
mod by_hand;
#[cfg(test)]
mod card;
#[cfg(test)]
mod changes;
#[cfg(test)]
mod doses;
#[cfg(test)]
mod nozzles;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod published;
#[cfg(test)]
mod rigs;
#[cfg(test)]
mod same_point;
#[cfg(test)]
mod sections;
#[cfg(test)]
mod turns;
