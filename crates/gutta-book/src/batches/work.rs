//! How the rows of a table are worked out.

use std::str;

use gutta::measure::{Loops, Scale, widest};

use super::careful::{Careful, lines};
use super::columns::{Columns, Number};
use super::figures::{Answers, Figures, Numbers};
use super::number;
use super::piece::{Piece, Reject};
use super::plain::Plain;
use super::written::{Page, Pen};
use super::wrong::Wrong;

/// What some programs put in front of text in UTF-8.
const MARK: &[u8] = b"\xef\xbb\xbf";

/// Fewer rows than this between two that are not plain are no more work one by one.
const FEW: usize = 6;

/// How each piece of a table is worked out.
#[derive(Debug)]
pub struct Work {
    columns: Columns,
    plain: Plain,
    figures: Figures,
    is_strict: bool,
}

/// Behind the line endings at a place.
fn blank_lines(bytes: &[u8], from: usize) -> usize {
    let blank = bytes[from..]
        .iter()
        .take_while(|b| matches!(b, b'\r' | b'\n'));
    from + blank.count()
}

impl Work {
    /// How the rows of a table are worked out whose batches were weighed on a
    /// scale, by the header in its first piece. The header is taken off.
    ///
    /// # Errors
    /// When there is no header, a column that is needed is missing or one stands
    /// twice, half of what an answer needs is there, or nothing can be answered.
    pub fn begin(first: &mut Piece, scale: Option<Scale>) -> Result<Self, Wrong> {
        let bytes = &first.bytes;
        // What spreadsheets call Unicode text has two bytes a letter.
        if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
            return Err(Wrong::no_text());
        }
        let mark = if bytes.starts_with(MARK) {
            MARK.len()
        } else {
            0
        };
        let from = blank_lines(bytes, mark);
        let len = first.careful.read(&bytes[from..]);
        let len = len.ok_or_else(Wrong::no_header)?;
        first.from = from + len;
        first.counts.lines = lines(&bytes[..first.from]);
        let names: Result<Vec<&str>, _> = first.careful.fields().map(str::from_utf8).collect();
        let columns = Columns::of(&names.map_err(|_| Wrong::no_text())?)?;
        Ok(Self {
            plain: Plain::new(&columns),
            figures: Figures::new(&columns, scale),
            columns,
            is_strict: false,
        })
    }

    /// The same, where the first row that is wrong is the last that is looked at.
    #[must_use]
    pub fn strict(self, is_strict: bool) -> Self {
        Self { is_strict, ..self }
    }

    /// The first row of what is written.
    pub fn heading(&self) -> Vec<u8> {
        self.columns.heading()
    }

    /// Columns that pass through and are but a slip away from one that would be
    /// read: what is passed through, and what it may be meant for.
    pub fn slips(&self) -> Vec<(&str, &'static str)> {
        self.columns.slips()
    }

    /// Works the rows of a piece out: those that are well are written, the others
    /// named.
    pub fn on(&self, piece: &mut Piece) {
        widest(OnPiece { work: self, piece });
    }

    #[inline(always)]
    fn on_rows(&self, piece: &mut Piece) {
        let mut bytes = std::mem::take(&mut piece.bytes);
        piece.out.clear();
        piece.rejects.clear();
        // A byte that belongs to no text makes every row of the piece one to be
        // looked at with care.
        let is_text = str::from_utf8(&bytes).is_ok();
        if is_text {
            feed_alone(&mut bytes, piece.from);
            piece.block.mark(&bytes);
        }
        // What is not plain by what may mean more than it seems.
        let mut odd = 0;
        let mut at = piece.from;
        while at < bytes.len() {
            if odd <= at {
                let next = memchr::memchr2(b'"', b'\r', &bytes[at..]);
                odd = next.map_or(usize::MAX, |next| at + next + 1);
            }
            let rows = if is_text {
                self.answer_block(&bytes, at, odd, piece)
            } else {
                Err(1)
            };
            at = match rows {
                Ok(end) => end,
                Err(rows) => self.one_by_one(&bytes, at, rows, piece),
            };
            if self.is_strict && !piece.rejects.is_empty() {
                break;
            }
        }
        piece.counts.lines -= u64::from(piece.is_cut);
        piece.bytes = bytes;
    }

    /// Answers many rows at once, and says where they end; or how many are to be
    /// looked at with care.
    #[inline(always)]
    fn answer_block(
        &self,
        bytes: &[u8],
        from: usize,
        odd: usize,
        piece: &mut Piece,
    ) -> Result<usize, usize> {
        let columns = &self.columns;
        let width = columns.names.len();
        let ends = piece.block.rows(from, odd, columns);
        let rows = ends.len() / width;
        if rows < FEW && odd != usize::MAX {
            return Err(rows + 1);
        }
        let numbers = &mut piece.numbers;
        if rows == 0
            || !piece
                .fields
                .numbers(bytes, ends, columns, &self.plain, numbers)
        {
            return Err(rows.max(1));
        }
        self.figures.work_out(numbers, rows, &mut piece.answers);
        let end = ends[rows * width] as usize + 1;
        let mut pen = piece.out.pen(end - from + rows * Figures::ROOM);
        let mut start = from;
        for (i, row) in ends[1..].chunks_exact(width).enumerate() {
            for (k, column) in columns.passed.iter().enumerate() {
                if k > 0 {
                    pen.byte(b',');
                }
                let from = match column.checked_sub(1) {
                    Some(before) => row[before] as usize + 1,
                    None => start,
                };
                pen.text(&bytes[from..row[*column] as usize]);
            }
            self.figures.write(&piece.answers, i, &mut pen);
            pen.byte(b'\n');
            start = row[width - 1] as usize + 1;
        }
        let len = pen.written();
        piece.out.wrote(len);
        piece.counts.count(&piece.answers.is_dry[..rows]);
        piece.counts.lines += rows as u64;
        Ok(end)
    }

    /// Answers so many rows one by one, with care, and says where they end.
    #[cold]
    #[inline(never)]
    fn one_by_one(&self, bytes: &[u8], from: usize, rows: usize, piece: &mut Piece) -> usize {
        let mut at = from;
        for _ in 0..rows {
            if at >= bytes.len() || (self.is_strict && !piece.rejects.is_empty()) {
                break;
            }
            at += self.with_care(&bytes[at..], piece);
        }
        at
    }

    /// Answers the row whose numbers were read; `pass` writes a column that
    /// passes through, and all of them take no more than `room`.
    fn answer(
        &self,
        numbers: &Numbers,
        answers: &mut Answers,
        out: &mut Page,
        room: usize,
        pass: impl Fn(&mut Pen<'_>, usize),
    ) {
        self.figures.work_out(numbers, 1, answers);
        let mut pen = out.pen(room + Figures::ROOM);
        for (i, column) in self.columns.passed.iter().enumerate() {
            if i > 0 {
                pen.byte(b',');
            }
            pass(&mut pen, *column);
        }
        self.figures.write(answers, 0, &mut pen);
        pen.byte(b'\n');
        let len = pen.written();
        out.wrote(len);
    }

    /// Reads one row at the beginning of `rest` with all care, and says how long
    /// it is, blank lines before it counted in.
    fn with_care(&self, rest: &[u8], piece: &mut Piece) -> usize {
        let from = blank_lines(rest, 0);
        let line = piece.counts.lines + lines(&rest[..from]) + 1;
        if from == rest.len() {
            piece.counts.lines += lines(rest);
            return from;
        }
        let Some(len) = piece.careful.read(&rest[from..]) else {
            // Nothing closes the quote: the row is taken to end with its line, so
            // that those behind it are not lost.
            let row = &rest[from..];
            let end = row
                .iter()
                .position(|b| *b == b'\n')
                .map_or(row.len(), |end| end + 1);
            piece.counts.lines += lines(&rest[..from + end]);
            let reject = Reject::new(Wrong::open_quote(), "", &row[..end]);
            piece.rejects.push(Reject { line, ..reject });
            piece.counts.left_out += 1;
            return from + end;
        };
        piece.counts.lines += lines(&rest[..from + len]);
        match self.numbers(&piece.careful, &mut piece.numbers) {
            Ok(true) => {
                // Quotes at most double a field, and stand around it.
                let room = 2 * len + 3 * self.columns.passed.len();
                let careful = &piece.careful;
                self.answer(
                    &piece.numbers,
                    &mut piece.answers,
                    &mut piece.out,
                    room,
                    |pen, column| {
                        pen.field(careful.field(column));
                    },
                );
                piece.counts.count(&piece.answers.is_dry[..1]);
            }
            Ok(false) => {}
            Err(reject) => {
                piece.rejects.push(Reject { line, ..*reject });
                piece.counts.left_out += 1;
            }
        }
        from + len
    }

    /// The numbers of a row; false when all of it is blank.
    fn numbers(&self, row: &Careful, into: &mut Numbers) -> Result<bool, Box<Reject>> {
        let fields = row.fields();
        // Spreadsheets leave rows of commas behind.
        if fields.clone().all(|field| field.trim_ascii().is_empty()) {
            return Ok(false);
        }
        let id = self
            .columns
            .passed
            .first()
            .map_or(&[][..], |i| row.field(*i));
        let id = String::from_utf8_lossy(id);
        if fields.len() != self.columns.names.len() {
            let wrong = Wrong::ragged(fields.len(), self.columns.names.len());
            return Err(Box::new(Reject::new(wrong, &id, b"")));
        }
        let named = self.columns.names.iter().zip(&self.columns.roles);
        for (field, (name, role)) in fields.zip(named) {
            let wrong = |wrong: Wrong| Box::new(Reject::new(wrong.about(name), &id, field));
            let text = str::from_utf8(field).map_err(|_| wrong(Wrong::no_text()))?;
            if let Some(number) = *role {
                let figure = self.number(number, text).map_err(wrong)?;
                into[number as usize][0] = figure;
            }
        }
        Ok(true)
    }

    fn number(&self, number: Number, text: &str) -> Result<f64, Wrong> {
        let figure = number::read(number, text)?;
        let (low, high) = self.plain.window(number);
        if (low..=high).contains(&figure) {
            return Ok(figure);
        }
        let base = self.figures.base(number, figure);
        let typed = unit_behind(number, text.trim());
        number
            .range()
            .check_typed(base, &typed)
            .map_err(|error| Wrong::out_of_range(&error))?;
        Ok(figure)
    }
}

/// A piece to be worked out.
struct OnPiece<'a> {
    work: &'a Work,
    piece: &'a mut Piece,
}

impl Loops for OnPiece<'_> {
    type Output = ();

    #[inline(always)]
    fn run(self) {
        self.work.on_rows(self.piece);
    }
}

/// Takes the carriage return off the ends of lines from a place on, where none
/// stands elsewhere and no quote could keep one.
fn feed_alone(bytes: &mut Vec<u8>, from: usize) {
    let Some(first) = memchr::memchr(b'\r', &bytes[from..]) else {
        return;
    };
    if memchr::memchr(b'"', &bytes[from..]).is_some() {
        return;
    }
    let (mut to, mut at) = (from + first, from + first);
    while at < bytes.len() {
        // A carriage return stands here.
        let is_ending = bytes.get(at + 1) == Some(&b'\n');
        let next = memchr::memchr(b'\r', &bytes[at + 1..]);
        let end = next.map_or(bytes.len(), |next| at + 1 + next);
        let kept = at + usize::from(is_ending);
        bytes.copy_within(kept..end, to);
        to += end - kept;
        at = end;
    }
    bytes.truncate(to);
}

/// A figure with the unit of its column behind it.
fn unit_behind(number: Number, figure: &str) -> String {
    format!("{figure} {}", number.unit().symbol())
}
