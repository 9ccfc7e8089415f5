//! Benchmarks of gutta; see `benches/`.
