//! Forms read: what was typed in, notes or complaints out; nothing is guessed.

pub mod numbers;
pub mod round;
