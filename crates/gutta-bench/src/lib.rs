//! Benchmarks of gutta; see `benches/`, `src/bin/` and the README.

pub mod ten_inputs;
