//! Benchmarks of gutta; see `benches/`, `src/bin/` and the README.

pub mod lots;
pub mod ten_inputs;
