//! Forms read: what was typed in, notes or complaints out; nothing is guessed.

pub mod air;
pub mod begin;
pub mod boxes;
pub mod light;
pub mod numbers;
pub mod outbox;
pub mod pairing;
pub mod round;
pub mod slip;
