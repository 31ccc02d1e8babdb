//! A number as the sum of what was given.

use crate::{
    practice::Ruling,
    units::{ROUND_OFF, mm_exact},
};

/// One given number, taken some times.
#[derive(Clone, Debug)]
struct Term {
    factor: f64,
    /// In words: "front overhang".
    name: String,
    /// As it is typed into a calculator: "870".
    number: String,
    /// Its value, mm.
    mm: f64,
}

/// A station or an offset in mm as a sum, in words and in numbers of a ruling.
#[derive(Clone, Debug, Default)]
pub(in crate::practice) struct Sum {
    terms: Vec<Term>,
    ruling: Ruling,
}

impl Sum {
    /// A given length in mm, once.
    pub(super) fn of(ruling: Ruling, name: &str, mm: f64) -> Self {
        Self::named(ruling, name.to_owned(), ruling.exact(mm), mm)
    }

    /// A number that is typed in its own way, such as `1500 × cos 10°`.
    pub(super) fn named(ruling: Ruling, name: String, number: String, mm: f64) -> Self {
        let term = Term {
            factor: 1.0,
            name,
            number,
            mm,
        };
        Self {
            terms: vec![term],
            ruling,
        }
    }

    pub(super) fn times(mut self, factor: f64) -> Self {
        for term in &mut self.terms {
            term.factor *= factor;
        }
        self
    }

    /// Both together; what cancels goes away.
    pub(super) fn plus(mut self, other: Self) -> Self {
        if self.terms.is_empty() {
            self.ruling = other.ruling;
        }
        for term in other.terms {
            match self
                .terms
                .iter_mut()
                .find(|known| known.name == term.name && known.mm == term.mm)
            {
                Some(known) => known.factor += term.factor,
                None => self.terms.push(term),
            }
        }
        self.terms.retain(|term| term.factor.abs() > ROUND_OFF);
        self
    }

    /// Its value, mm.
    pub(in crate::practice) fn value(&self) -> f64 {
        self.terms.iter().map(|term| term.factor * term.mm).sum()
    }

    /// Without its signs: what is said of both sides at once.
    pub(in crate::practice) fn magnitude(self) -> Self {
        if self.value() < 0.0 {
            self.times(-1.0)
        } else {
            self
        }
    }

    /// In words: `front overhang + front gap`.
    pub(in crate::practice) fn words(&self) -> String {
        self.written(|term, factor| match factor {
            1.0 => term.name.clone(),
            0.5 => format!("½ {}", term.name),
            _ => format!("{} × {}", mm_exact(factor, 4), term.name),
        })
    }

    /// In numbers: `870 + 750`.
    pub(in crate::practice) fn numbers(&self) -> String {
        self.written(|term, factor| match factor {
            1.0 => term.number.clone(),
            0.5 => format!("{}/2", term.number),
            _ => format!("{} × {}", mm_exact(factor, 4), term.number),
        })
    }

    /// Words and numbers with the exact result behind them.
    pub(in crate::practice) fn worked(&self) -> String {
        let result = self.ruling.exact(self.value());
        if self.terms.is_empty() {
            return result;
        }
        let (words, numbers) = (self.words(), self.numbers());
        if numbers == result {
            format!("{words} = {result}")
        } else {
            format!("{words} = {numbers} = {result}")
        }
    }

    /// What comes out when the factor of a number whose name holds `part` is changed, where it is there.
    pub(in crate::practice) fn mistaken(&self, part: &str, factor: f64) -> Option<f64> {
        let mut wrong = self.clone();
        let term = wrong
            .terms
            .iter_mut()
            .find(|term| term.name.contains(part))?;
        term.factor *= factor;
        Some(wrong.value())
    }

    fn written(&self, one: impl Fn(&Term, f64) -> String) -> String {
        let mut text = String::new();
        for (index, term) in self.terms.iter().enumerate() {
            let negative =
                (term.factor < 0.0) != term.number.starts_with('\u{2212}') && term.factor < 0.0;
            text.push_str(match (index, negative) {
                (0, false) => "",
                (0, true) => "\u{2212}",
                (_, false) => " + ",
                (_, true) => " \u{2212} ",
            });
            text.push_str(&one(
                term,
                if negative { -term.factor } else { term.factor },
            ));
        }
        if text.is_empty() {
            "0".to_owned()
        } else {
            text
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_reads_as_it_is_worked_out_and_what_cancels_is_left_out() {
        let half = |name: &str, mm: f64| Sum::of(Ruling::Metric, name, mm).times(0.5);
        let offset = half("track", 1540.0)
            .plus(half("tyre width", 213.0))
            .plus(Sum::of(Ruling::Metric, "gap", 300.0));
        assert_eq!(
            offset.worked(),
            "½ track + ½ tyre width + gap = 1540/2 + 213/2 + 300 = 1176.5"
        );
        assert_eq!(offset.mistaken("tyre", 0.0), Some(1070.0));
        let back = offset.clone().plus(offset.times(-1.0));
        assert_eq!((back.worked().as_str(), back.value()), ("0", 0.0));
        let rear = Sum::of(Ruling::Metric, "wheelbase", 2620.0)
            .times(-1.0)
            .plus(Sum::of(Ruling::Metric, "rear overhang", 790.0).times(-1.0));
        assert_eq!(rear.numbers(), "\u{2212}2620 \u{2212} 790");
    }
}
