//! The questions with boxes to tick: what has to be equal, what runs below the vehicle.

use super::{ask::Asking, picked};
use crate::practice::Question;

/// Boxes to tick of which distances run below the vehicle.
const TICKED: usize = 5;

/// Pairs of distances among which the equal one is ticked.
const PAIRS: usize = 4;

impl Asking<'_, '_> {
    /// Two distances that have to be equal, among pairs that have not.
    pub fn equal(&mut self) -> Result<Question, String> {
        let plan = &self.drawn.plan;
        let mut pairs: Vec<_> = picked::pairs(plan)
            .filter_map(|pair| Some([pair, picked::mirrored(plan, pair)?]))
            .filter(|[one, other]| one < other)
            .collect();
        self.draw.shuffle(&mut pairs);
        // Slanting ones before what lies along or across.
        pairs.sort_by_key(|[one, _]| !picked::slanting(plan, *one));
        let right = *pairs
            .first()
            .ok_or("no two of its distances mirror each other")?;
        let mut others: Vec<[usize; 2]> = picked::pairs(plan)
            .filter(|pair| !right.contains(pair))
            .collect();
        self.draw.shuffle(&mut others);
        // A wrong pair has one distance of the right one, in turn, so that both have to be looked at.
        let wrong = others
            .into_iter()
            .filter(|other| picked::differ(plan, right[0], *other))
            .zip(right.into_iter().cycle())
            .map(|(other, own)| [own, other])
            .take(PAIRS - 1);
        let wrong: Vec<[[usize; 2]; 2]> = wrong.collect();
        if wrong.len() < PAIRS - 1 {
            return Err("too few of its distances differ".to_owned());
        }
        let words = |[one, other]: [[usize; 2]; 2]| {
            format!(
                "{} and {}",
                picked::name(plan, one),
                picked::name(plan, other)
            )
        };
        let mut options = vec![words(right)];
        options.extend(wrong.into_iter().map(words));
        self.draw.shuffle(&mut options);
        let at = options.iter().position(|option| *option == words(right));
        let far = self.drawn.ruling.length(picked::length(plan, right[0]));
        Ok(Question::new("Which two distances have to be equal?", 2)
            .one_of(options, at.unwrap_or(0))
            .worked([format!(
                "{}: one is the other's mirror image in the centreline, both are {far}.",
                words(right)
            )])
            .answer("equal", words(right)))
    }

    /// Distances that run below the vehicle.
    pub fn below(&mut self) -> Result<Question, String> {
        let plan = &self.drawn.plan;
        let (mut under, mut clear): (Vec<[usize; 2]>, Vec<[usize; 2]>) = Default::default();
        let mut pairs: Vec<[usize; 2]> = picked::pairs(plan).collect();
        self.draw.shuffle(&mut pairs);
        for pair in pairs {
            if under.len() >= TICKED && clear.len() >= TICKED {
                break;
            }
            match picked::below(plan, pair) {
                Some(true) => under.push(pair),
                Some(false) => clear.push(pair),
                None => {}
            }
        }
        if under.is_empty() || clear.is_empty() {
            return Err("its distances all run below the vehicle, or none does".to_owned());
        }
        // Two of each, and one more of what there is.
        let more = if self.draw.coin() { 3 } else { 2 };
        let wanted = more
            .min(under.len())
            .max(TICKED.saturating_sub(clear.len()))
            .min(TICKED - 1);
        under.truncate(wanted.min(under.len()));
        clear.truncate(TICKED - under.len());
        let mut options: Vec<[usize; 2]> = under.iter().chain(&clear).copied().collect();
        self.draw.shuffle(&mut options);
        let right: Vec<usize> = (0..options.len())
            .filter(|&at| under.contains(&options[at]))
            .collect();
        let names: Vec<String> = options
            .iter()
            .map(|pair| picked::name(plan, *pair))
            .collect();
        let below: Vec<&str> = right.iter().map(|&at| names[at].as_str()).collect();
        let below = below.join(", ");
        Ok(Question::new(
            "The vehicle stands on the layout while it is checked. Which of these distances run below it and come off the list?",
            2,
        )
        .worked([format!(
            "{below}: the straight line crosses the vehicle's outline; the others stay outside it."
        )])
        .answer("below the vehicle", below)
        .any_of(names, right))
    }
}
