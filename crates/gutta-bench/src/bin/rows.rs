//! Works a table through on one core without the program around it: what a
//! profiler is set on.

use std::io::{self, Write};

use gutta_book::batches::{Piece, Source, Work};

fn main() -> io::Result<()> {
    let mut input = io::stdin().lock();
    let mut out = io::stdout().lock();
    let mut source = Source::new(&mut input);
    let mut piece = Piece::new();
    source.fill(&mut piece)?;
    let Ok(work) = Work::begin(&mut piece, None) else {
        return Err(io::Error::other("the table has no such header"));
    };
    out.write_all(&work.heading())?;
    loop {
        work.on(&mut piece);
        out.write_all(piece.written())?;
        if !source.fill(&mut piece)? {
            return out.flush();
        }
    }
}
