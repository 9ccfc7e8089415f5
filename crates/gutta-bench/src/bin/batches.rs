//! A table of invented batches on the answer stream: as many rows as are asked
//! for, the same each time.

use std::io::{self, BufWriter, Write};

/// A number from 0 up to, and without, `below`: a linear congruence after
/// Knuth's MMIX, its upper bits.
fn draw(state: &mut u64, below: u64) -> u64 {
    *state = state
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    (*state >> 33) % below
}

fn main() -> io::Result<()> {
    let rows: u64 = std::env::args()
        .nth(1)
        .and_then(|n| n.parse().ok())
        .unwrap_or(10_000);
    let mut out = BufWriter::with_capacity(1 << 18, io::stdout().lock());
    writeln!(
        out,
        "id,batch_g,moisture_pct_wb,target_pct_wb,drop_mg,drop_u_mg,moisture_u_pct,\
         flavour_drops_per_10g,flavour_drop_mg,flavour_density_g_per_ml"
    )?;
    let state = &mut 7;
    for row in 0..rows {
        let (batch, at, to) = (draw(state, 490_000), draw(state, 60), draw(state, 50));
        let (drop, u_drop, u_at) = (draw(state, 200), draw(state, 9), draw(state, 12));
        let (flavour, one, density) = (draw(state, 12), draw(state, 250), draw(state, 300));
        writeln!(
            out,
            "B{row:07},{}.{:02},{}.{},{}.{},{}.{},0.{},{}.{},{},{}.{},0.{}",
            (batch + 1000) / 100,
            batch % 100,
            9 + at / 10,
            at % 10,
            13 + to / 10,
            to % 10,
            38 + drop / 10,
            drop % 10,
            1 + u_drop,
            u_at / 10,
            u_at % 10,
            1 + flavour,
            15 + one / 10,
            one % 10,
            700 + density,
        )?;
    }
    out.flush()
}
