//! Pieces laid on the loads of a bed.
//!
//! `crunch` says where rectangles lie in one load (maximal rectangles). It stops at the first that finds no room, so
//! each load is filled piece by piece here. Which piece is tried first decides how full loads become: several orders are
//! tried, always the same ones.

use crunch::{Item, Rotation, pack};
use kurbo::{Affine, Point, Rect};
use rand::{SeedableRng as _, seq::SliceRandom as _};
use rand_chacha::ChaCha8Rng;

use super::{
    CutOptions, Piece,
    load_size::{BED_EDGE_MM, BETWEEN_MM, LoadSize, laid, smallest_rectangle},
};

/// Units of the packer in a mm: a hundredth, always rounded up, pieces and bed alike, so that what is as long as the bed fits.
const UNITS: f64 = 100.0;

/// How many shuffled orders are tried besides the sorted ones, for so many pieces at most.
const SHUFFLES: (usize, usize) = (60, 80);

/// How many lengths of a roll are tried, from what the pieces' area takes to the longest.
const SHORTENINGS: usize = 40;

/// What the cutter takes at once.
#[derive(Clone, Debug)]
pub struct Load {
    /// Width and height of the sheet of material, mm.
    pub size: (f64, f64),
    /// The pieces that lie on it.
    pub pieces: Vec<Laid>,
}

/// A piece on its load.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Its index among the pieces.
    pub piece: usize,
    /// From the floor to the load, mm, whose origin is its lower left corner: turned and moved, never mirrored.
    pub place: Affine,
}

/// A piece's smallest rectangle: how it is turned off the floor's axes, and its sides in the packer's units.
struct Boxed {
    angle: f64,
    rect: Rect,
    size: (usize, usize),
}

/// Lays pieces on as few loads as the orders that are tried find; of as many, those with the emptiest last one.
pub(super) fn nest(pieces: &[Piece], options: &CutOptions) -> Vec<Load> {
    let bed = LoadSize::of(options);
    let between = BETWEEN_MM + 2.0 * options.kerf;
    let up = |mm: f64| ((mm + between) * UNITS - 1e-6).ceil() as usize;
    let boxes: Vec<Boxed> = pieces
        .iter()
        .map(|piece| {
            let (angle, rect) = smallest_rectangle(&piece.shape.outer);
            Boxed {
                angle,
                rect,
                size: (up(rect.width()), up(rect.height())),
            }
        })
        .collect();
    let (width, height) = bed.sides();
    let whole = crunch::Rect::of_size(up(width), up(height));
    let areas: Vec<f64> = pieces.iter().map(|piece| piece.shape.area()).collect();
    let filled = |loads: &[Vec<Packed>]| -> (usize, f64) {
        let squares = loads.iter().map(|load| {
            let used: f64 = load.iter().map(|packed| areas[packed.piece]).sum();
            used * used
        });
        (loads.len(), -squares.sum::<f64>())
    };
    let best = |room: crunch::Rect, pieces: &[usize]| {
        let loads = orders(&boxes, pieces)
            .into_iter()
            .map(|order| loads_in(room, &boxes, order));
        loads
            .map(|loads| (filled(&loads), loads))
            .reduce(|a, b| {
                let by = b.0.0.cmp(&a.0.0).then(b.0.1.total_cmp(&a.0.1));
                if by.is_lt() { b } else { a }
            })
            .map(|(_, loads)| loads)
            .unwrap_or_default()
    };
    let all: Vec<usize> = (0..boxes.len()).collect();
    let mut loads = best(whole, &all);
    if let Some(last) = loads.last_mut().filter(|_| options.is_cut_to_length()) {
        let pieces: Vec<usize> = last.iter().map(|packed| packed.piece).collect();
        let area = |piece: &usize| boxes[*piece].size.0 * boxes[*piece].size.1;
        let least = pieces.iter().map(area).sum::<usize>() / whole.h;
        let shorter = (1..=SHORTENINGS).find_map(|step| {
            let length = least + (whole.w - least) * step / SHORTENINGS;
            let mut loads = best(crunch::Rect::of_size(length, whole.h), &pieces);
            let holds_all = loads.len() == 1 && loads[0].len() == pieces.len();
            holds_all.then(|| loads.remove(0))
        });
        if let Some(shorter) = shorter {
            *last = shorter;
        }
    }
    let size = options.load();
    loads
        .into_iter()
        .map(|load| {
            let edge = BED_EDGE_MM + options.kerf;
            let pieces: Vec<Laid> = load
                .iter()
                .map(|packed| {
                    let boxed = &boxes[packed.piece];
                    let corner = Point::new(
                        packed.x as f64 / UNITS + edge,
                        packed.y as f64 / UNITS + edge,
                    );
                    Laid {
                        piece: packed.piece,
                        place: laid(boxed.angle, boxed.rect, packed.quarter, corner),
                    }
                })
                .collect();
            let right = load.iter().map(|packed| packed.right).max().unwrap_or(0);
            let used = right as f64 / UNITS - between + 2.0 * edge;
            let width = if options.is_cut_to_length() {
                used
            } else {
                size.0
            };
            Load {
                size: (width, size.1),
                pieces,
            }
        })
        .collect()
}

/// A piece in its load, in the packer's units.
#[derive(Clone, Copy)]
struct Packed {
    piece: usize,
    x: usize,
    y: usize,
    right: usize,
    quarter: bool,
}

/// The orders in which pieces are tried.
fn orders(boxes: &[Boxed], pieces: &[usize]) -> Vec<Vec<usize>> {
    let sorted = |key: fn(&Boxed) -> (usize, usize)| {
        let mut order = pieces.to_vec();
        order.sort_by_key(|&index| std::cmp::Reverse(key(&boxes[index])));
        order
    };
    let mut orders = vec![
        sorted(|boxed| {
            (
                boxed.size.0.max(boxed.size.1),
                boxed.size.0.min(boxed.size.1),
            )
        }),
        sorted(|boxed| (boxed.size.0 * boxed.size.1, 0)),
        sorted(|boxed| {
            (
                boxed.size.0.min(boxed.size.1),
                boxed.size.0.max(boxed.size.1),
            )
        }),
    ];
    if pieces.len() <= SHUFFLES.1 {
        let mut random = ChaCha8Rng::seed_from_u64(0);
        for _ in 0..SHUFFLES.0 {
            let mut order = orders[0].clone();
            order.shuffle(&mut random);
            orders.push(order);
        }
    }
    orders
}

/// Fills load after load: every piece in turn, wherever the load still has room for it beside those that it has.
fn loads_in(room: crunch::Rect, boxes: &[Boxed], mut order: Vec<usize>) -> Vec<Vec<Packed>> {
    let mut loads = Vec::new();
    while !order.is_empty() {
        let mut items: Vec<Item<usize>> = Vec::new();
        let mut load = Vec::new();
        let mut free = room.w * room.h;
        order.retain(|&piece| {
            let (width, height) = boxes[piece].size;
            if width * height > free {
                return true;
            }
            items.push(Item::new(piece, width, height, Rotation::Allowed));
            match pack(room, items.iter().cloned()) {
                Ok(packed) => {
                    load = packed;
                    free -= width * height;
                    false
                }
                Err(_) => {
                    items.pop();
                    true
                }
            }
        });
        if load.is_empty() {
            break;
        }
        loads.push(load.iter().map(|item| packed(item, boxes)).collect());
    }
    loads
}

fn packed(item: &crunch::PackedItem<usize>, boxes: &[Boxed]) -> Packed {
    Packed {
        piece: item.data,
        x: item.rect.x,
        y: item.rect.y,
        right: item.rect.x + item.rect.w,
        quarter: item.rect.w != boxes[item.data].size.0,
    }
}
