//! Pieces that follow one another down a page and on to the next.

use std::rc::Rc;

use super::Fragment;

/// Most clear height that a question gets beyond its gap where a page has room left, mm.
const MOST_AIR: f64 = 8.0;
/// Rounding allowed when heights are added up, mm.
const ROUNDING: f64 = 1e-6;

/// A part of a page that is not torn apart.
#[derive(Clone, Debug)]
pub struct Piece {
    /// What is drawn.
    pub fragment: Fragment,
    /// Distance from the left edge of the page's body, mm.
    pub indent: f64,
    /// Clear height above, mm; none at the top of a page.
    pub gap: f64,
    /// Must not be the last on a page.
    pub keep: bool,
    /// May stand further away from what is above.
    pub airy: bool,
    /// What is drawn again above this piece when it begins a page: a table's headings.
    pub repeat: Option<Rc<Fragment>>,
}

impl Piece {
    /// A piece `gap` mm below the one before.
    pub const fn new(fragment: Fragment, gap: f64) -> Self {
        Self {
            fragment,
            indent: 0.0,
            gap,
            keep: false,
            airy: false,
            repeat: None,
        }
    }

    /// The same piece, never the last on a page.
    pub const fn kept(mut self) -> Self {
        self.keep = true;
        self
    }

    fn height(&self, begins_page: bool) -> f64 {
        let above = if begins_page {
            self.repeat.as_ref().map_or(0.0, |head| head.height)
        } else {
            self.gap
        };
        above + self.fragment.height
    }
}

/// The same pieces so that what follows an airy one stays with it: questions are not torn apart.
pub fn whole(mut pieces: Vec<Piece>) -> Vec<Piece> {
    for index in 1..pieces.len() {
        pieces[index - 1].keep |= !pieces[index].airy;
    }
    pieces
}

/// Shares pieces out to pages of which the first has `first` mm and the others `next` mm. A piece that is higher than
/// a page is alone on one.
pub fn flow(pieces: Vec<Piece>, first: f64, next: f64) -> Vec<Fragment> {
    let mut pages: Vec<Vec<Piece>> = vec![Vec::new()];
    for piece in pieces {
        let room = if pages.len() == 1 { first } else { next };
        let last = pages.last_mut().expect("there is always a page");
        if !last.is_empty() && used(last) + piece.height(false) > room + ROUNDING {
            let stay = last
                .iter()
                .rposition(|piece| !piece.keep)
                .map_or(0, |index| index + 1);
            // A page of nothing but pieces that wait for the next one would never end.
            let mut moved = if stay == 0 {
                Vec::new()
            } else {
                last.split_off(stay)
            };
            moved.push(piece);
            pages.push(moved);
        } else {
            last.push(piece);
        }
    }
    let alone = pages.len() == 1;
    pages
        .iter()
        .map(|pieces| stack(pieces, if alone { first - used(pieces) } else { 0.0 }))
        .collect()
}

fn used(page: &[Piece]) -> f64 {
    page.iter()
        .enumerate()
        .map(|(index, piece)| piece.height(index == 0))
        .sum()
}

/// One below the other, what is left of the page shared out between the questions.
fn stack(pieces: &[Piece], spare: f64) -> Fragment {
    let airy = pieces.iter().skip(1).filter(|piece| piece.airy).count();
    let air = (spare / airy.max(1) as f64).clamp(0.0, MOST_AIR);
    let mut page = Fragment::new(0.0);
    for (index, piece) in pieces.iter().enumerate() {
        let mut top = page.height;
        if index > 0 {
            top += piece.gap + if piece.airy { air } else { 0.0 };
        } else if let Some(head) = &piece.repeat {
            head.place(page.canvas(), piece.indent, 0.0);
            top += head.height;
        }
        piece.fragment.place(page.canvas(), piece.indent, -top);
        page.width = page.width.max(piece.indent + piece.fragment.width);
        page.height = top + piece.fragment.height;
    }
    page
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(height: f64) -> Piece {
        let mut fragment = Fragment::new(10.0);
        fragment.height = height;
        Piece::new(fragment, 1.0)
    }

    #[test]
    fn a_heading_goes_to_the_next_page_with_what_it_heads() {
        let pages = flow(vec![piece(10.0), piece(5.0).kept(), piece(6.0)], 20.0, 30.0);
        let heights: Vec<f64> = pages.iter().map(|page| page.height).collect();
        assert_eq!(heights, [10.0, 12.0]);
    }

    #[test]
    fn a_row_that_begins_a_page_has_the_headings_above_it() {
        let mut row = piece(6.0);
        row.repeat = Some(Rc::new(piece(4.0).fragment));
        let pages = flow(vec![piece(18.0), row], 20.0, 30.0);
        assert_eq!(pages.len(), 2);
        assert!((pages[1].height - 10.0).abs() < 1e-9);
    }

    #[test]
    fn pieces_that_all_wait_for_the_next_do_not_go_round_in_circles() {
        let pages = flow(
            vec![piece(15.0).kept(), piece(15.0).kept(), piece(50.0)],
            20.0,
            20.0,
        );
        assert_eq!(pages.len(), 3);
    }
}
